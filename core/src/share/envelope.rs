//! The outside of a link: version, checksum, lengths, letters.
//!
//! version (1 byte) · CRC-32 of all else (4) · bytes of the body (7 bits each) · body.
//! The body is the bytes of the text that it holds (7 bits each) · the text, squeezed.
//! Every version has the first three, so that a newer link is not taken for a damaged one.

use base64ct::{Base64UrlUnpadded, Encoding};
use crc::{CRC_32_ISO_HDLC, Crc, NoTable};

use super::{LinkError, coder};

/// What stands before the letters in an address.
pub const MARK: &str = "#map=";
/// The most bytes of text that a link may hold. A map of 16 cylinders with long notes takes a fifth of it.
pub const MOST_PLAIN: usize = 300_000;
/// The most letters that are looked at.
pub const MOST_LETTERS: usize = 400_000;

const VERSION: u8 = 1;
/// Version and checksum.
const HEAD: usize = 5;

/// CRC-32 as in ISO/IEC/IEEE 8802-3; its check value is 0xCBF43926.
///
/// # Source
/// ISO/IEC/IEEE 8802-3:2021, clause 3.2.9, value from memory.
const SUM: Crc<u32, NoTable> = Crc::<u32, NoTable>::new(&CRC_32_ISO_HDLC);

/// The letters of a link that holds `text`.
pub(super) fn seal(text: &str) -> String {
    let mut body = Vec::new();
    put_number(text.len(), &mut body);
    body.extend(coder::squeeze(text.as_bytes()));
    let mut rest = Vec::new();
    put_number(body.len(), &mut rest);
    rest.extend(body);
    let mut all = vec![VERSION];
    all.extend(sum(VERSION, &rest).to_be_bytes());
    all.extend(rest);
    Base64UrlUnpadded::encode_string(&all)
}

/// The text in the link that stands in `text`.
pub(super) fn open(text: &str) -> Result<String, LinkError> {
    let letters = letters_in(text).ok_or(LinkError::NoMap)?;
    let run = &letters[..run(letters)];
    match unseal(run) {
        // A letter program may have broken the link into lines.
        Err(LinkError::CutOff) if run.len() < letters.len() => {
            let joined: String = letters.split_whitespace().collect();
            let most = joined.len().min(MOST_LETTERS);
            let joined = &joined[..run_of(&joined, most)];
            let whole = letters_wanted(joined).filter(|wanted| *wanted <= joined.len());
            whole.map_or(Err(LinkError::CutOff), |wanted| unseal(&joined[..wanted]))
        }
        other => other,
    }
}

/// What follows the mark of a link in `text`, or `text` itself where it is made of such letters alone.
fn letters_in(text: &str) -> Option<&str> {
    if let Some((_, after)) = text.split_once(MARK) {
        return Some(after);
    }
    let text = text.trim();
    let bare = !text.is_empty() && run(text) == text.len().min(MOST_LETTERS);
    bare.then_some(text)
}

/// How many bytes at the start of `text` are letters of a link.
fn run(text: &str) -> usize {
    run_of(text, MOST_LETTERS)
}

fn run_of(text: &str, most: usize) -> usize {
    let known = |byte: &u8| byte.is_ascii_alphanumeric() || matches!(byte, b'-' | b'_');
    text.bytes().take(most).take_while(known).count()
}

/// Bytes in letters of which the last may be missing: four letters hold three bytes.
fn bytes_of(letters: &str) -> Vec<u8> {
    let whole = match letters.len() % 4 {
        1 => letters.len() - 1,
        _ => letters.len(),
    };
    let decode = |upto: usize| Base64UrlUnpadded::decode_vec(letters.get(..upto)?).ok();
    // Where the last group is cut within a byte its spare bits may not be zero.
    decode(whole)
        .or_else(|| decode(whole - whole % 4))
        .unwrap_or_default()
}

/// How many letters the link has that begins with these; `None` where its head is not all there.
fn letters_wanted(letters: &str) -> Option<usize> {
    let bytes = bytes_of(letters.get(..letters.len().min(32))?);
    let mut rest = bytes.get(HEAD..)?;
    let before = rest.len();
    let body = take_number(&mut rest)?;
    let all = HEAD.checked_add(before - rest.len())?.checked_add(body)?;
    Some(all.checked_mul(4)?.div_ceil(3))
}

fn unseal(letters: &str) -> Result<String, LinkError> {
    let Some(wanted) = letters_wanted(letters) else {
        // Too short to hold even its head, or a length that no link has.
        return Err(if letters.len() < 32 {
            LinkError::CutOff
        } else {
            LinkError::Altered
        });
    };
    if letters.len() < wanted {
        return Err(LinkError::CutOff);
    }
    let bytes = Base64UrlUnpadded::decode_vec(letters).map_err(|_| LinkError::Altered)?;
    let [version, a, b, c, d, rest @ ..] = bytes.as_slice() else {
        return Err(LinkError::CutOff);
    };
    if letters.len() > wanted || sum(*version, rest) != u32::from_be_bytes([*a, *b, *c, *d]) {
        return Err(LinkError::Altered);
    }
    if *version != VERSION {
        return Err(LinkError::Newer { version: *version });
    }
    let mut rest = rest;
    let _ = take_number(&mut rest);
    let bytes = take_number(&mut rest).ok_or(LinkError::Altered)?;
    if bytes > MOST_PLAIN {
        return Err(LinkError::TooLarge { bytes });
    }
    let text = coder::unsqueeze(rest, bytes).ok_or(LinkError::Altered)?;
    String::from_utf8(text).map_err(|_| LinkError::Altered)
}

fn sum(version: u8, rest: &[u8]) -> u32 {
    let mut digest = SUM.digest();
    digest.update(&[version]);
    digest.update(rest);
    digest.finalize()
}

/// Seven bits a byte, the lowest first; the eighth says that more follow.
fn put_number(mut number: usize, out: &mut Vec<u8>) {
    loop {
        let low = u8::try_from(number & 0x7f).unwrap_or_default();
        number >>= 7;
        if number == 0 {
            out.push(low);
            return;
        }
        out.push(low | 0x80);
    }
}

/// Takes a number off the front; at most 28 bits are read.
fn take_number(from: &mut &[u8]) -> Option<usize> {
    let mut number = 0_usize;
    for shift in [0, 7, 14, 21] {
        let (first, rest) = from.split_first()?;
        *from = rest;
        number |= usize::from(first & 0x7f) << shift;
        if first & 0x80 == 0 {
            return Some(number);
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_checksum_is_the_standard_one() {
        // Check value of CRC-32: the sum of the digits "123456789" is 0xCBF43926.
        assert_eq!(SUM.checksum(b"123456789"), 0xCBF4_3926);
    }

    #[test]
    fn numbers_of_any_length_come_back() {
        for number in [0, 1, 127, 128, 300_000, 0x0fff_ffff] {
            let mut bytes = Vec::new();
            put_number(number, &mut bytes);
            let mut rest = bytes.as_slice();
            assert_eq!(take_number(&mut rest), Some(number));
            assert!(rest.is_empty());
        }
        assert_eq!(take_number(&mut &[0xff; 9][..]), None);
        assert_eq!(take_number(&mut &[0x80][..]), None);
    }
}
