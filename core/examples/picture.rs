//! Writes the map of a harness file as one SVG picture, for a look outside the app.
//!
//! ```sh
//! cargo run --release -p sparktrail-core --example picture -- FILE [tall] [far | close] > map.svg
//! ```

use std::fmt::Write as _;
use std::io::Write as _;
use std::process::ExitCode;

use sparktrail_core::drawing::{Align, Drawing, Proportions, Role, RunKind, Voice, Zoom, paint};
use sparktrail_core::model::file;
use sparktrail_core::provenance::Provenance;

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let has = |word: &str| words.iter().any(|w| w == word);
    let Some(path) = words.first() else {
        eprintln!("name a harness file");
        return ExitCode::from(2);
    };
    let read = std::fs::read_to_string(path).map_err(|e| e.to_string());
    let harness = match read.and_then(|text| file::read(&text).map_err(|e| e.to_string())) {
        Ok(harness) => harness,
        Err(error) => {
            eprintln!("{path}: {error}");
            return ExitCode::FAILURE;
        }
    };
    let proportions = if has("tall") {
        Proportions::Tall
    } else {
        Proportions::Wide
    };
    let zoom = if has("far") {
        Zoom::Far
    } else if has("close") {
        Zoom::Close
    } else {
        Zoom::Near
    };
    let drawing = Drawing::proportioned(&harness, proportions);
    // A reader that stops early is no fault of ours.
    let _ = writeln!(std::io::stdout(), "{}", picture(&drawing, zoom));
    ExitCode::SUCCESS
}

fn picture(drawing: &Drawing, zoom: Zoom) -> String {
    let b = drawing.bounds;
    let (ink, faint, paper) = ("black", "dimgray", "white");
    let mut out = format!(
        "<svg xmlns='http://www.w3.org/2000/svg' viewBox='{} {} {} {}' width='{}' height='{}' font-family='sans-serif'>",
        b.x, b.y, b.w, b.h, b.w, b.h
    );
    let mut put = |text: String| {
        out.push_str(&text);
        out.push('\n');
    };
    put(format!(
        "<rect x='{}' y='{}' width='100%' height='100%' fill='ivory'/>",
        b.x, b.y
    ));
    let shape = |role: Role, d: &str| {
        let (fill, stroke, width) = match role {
            Role::Body | Role::Pin => (paper, ink, 1.6),
            Role::Housing => ("none", faint, 1.0),
            Role::Block => ("none", "lightgray", 1.6),
            Role::Bank => ("whitesmoke", "lightgray", 1.6),
            Role::Disc => (paper, ink, 2.0),
            Role::Symbol => ("none", ink, 1.5),
            Role::Solid => (ink, "none", 0.0),
            Role::Fine => ("none", faint, 1.0),
            Role::Bar => ("none", ink, 3.2),
            Role::Spine => ("none", faint, 1.4),
            Role::Post => (paper, ink, 1.2),
            Role::Loose => (paper, faint, 1.4),
        };
        format!(
            "<path d='{d}' fill='{fill}' stroke='{stroke}' stroke-width='{width}' stroke-linecap='round' stroke-linejoin='round'/>"
        )
    };
    for m in &drawing.engine.marks {
        put(shape(m.role, &m.d));
    }
    for s in &drawing.behind {
        for m in s.marks.iter().filter(|m| m.from <= zoom) {
            put(shape(m.role, &m.d));
        }
    }
    for run in &drawing.runs {
        let line = |stroke: &str, width: f64, dash: &str| {
            format!(
                "<path d='{}' fill='none' stroke='{stroke}' stroke-width='{width}' stroke-dasharray='{dash}'/>",
                run.d
            )
        };
        let dash = if run.how == Provenance::Assumed {
            "13 6"
        } else {
            "none"
        };
        match run.kind {
            RunKind::Wire => {
                put(line(paper, 10.0, "none"));
                put(line("gray", 6.5, dash));
                put(line(
                    run.colour.map_or("silver", |c| paint(c.base)),
                    4.6,
                    dash,
                ));
                if let Some(tracer) = run.colour.and_then(|c| c.tracer) {
                    put(line(paint(tracer), 1.8, "7 12"));
                }
            }
            RunKind::Lead | RunKind::Boot => put(line("slategray", 7.0, dash)),
        }
        for p in &run.loose {
            put(format!(
                "<circle cx='{}' cy='{}' r='5' fill='{paper}' stroke='{faint}'/>",
                p.x, p.y
            ));
        }
    }
    for s in &drawing.shapes {
        for m in s.marks.iter().filter(|m| m.from <= zoom) {
            put(shape(m.role, &m.d));
        }
    }
    for l in drawing.labels.iter().filter(|l| l.shows_at(zoom)) {
        let anchor = match l.align {
            Align::Start => "start",
            Align::Middle => "middle",
            Align::End => "end",
        };
        let weight = match l.voice {
            Voice::Name | Voice::Number | Voice::Pin => 700,
            Voice::Wire | Voice::Note => 400,
        };
        let mut text = String::new();
        for c in l.text.chars() {
            match c {
                '<' => text.push_str("&lt;"),
                '&' => text.push_str("&amp;"),
                c => text.push(c),
            }
        }
        let mut tag = String::new();
        let _ = write!(
            tag,
            "<text x='{:.1}' y='{:.1}' font-size='{}' font-weight='{weight}' text-anchor='{anchor}' fill='{}'>{text}</text>",
            l.at.x,
            l.at.y,
            l.size,
            if l.voice == Voice::Wire { faint } else { ink }
        );
        put(tag);
    }
    put("</svg>".into());
    out
}
