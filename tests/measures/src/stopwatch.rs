//! Times a piece of work, with a clock that browsers have too.

use std::hint::black_box;

use web_time::{Duration, Instant};

/// Browsers tell the time in coarse steps: what is timed at a stretch must be much longer.
const STRETCH: Duration = Duration::from_millis(20);
const STRETCHES: usize = 15;

/// The time that `work` takes, in milliseconds: the median of 15 stretches of at least 20 ms
/// each, after a first one that warms up.
pub(crate) fn median_ms<T>(mut work: impl FnMut() -> T) -> f64 {
    let mut stretch = || {
        let start = Instant::now();
        let mut times = 0;
        loop {
            black_box(work());
            times += 1;
            let spent = start.elapsed();
            if spent >= STRETCH {
                return spent.as_secs_f64() * 1e3 / f64::from(times);
            }
        }
    };
    stretch();
    let mut times: Vec<f64> = (0..STRETCHES).map(|_| stretch()).collect();
    times.sort_by(f64::total_cmp);
    times[STRETCHES / 2]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_are_real() {
        let time = median_ms(|| std::thread::sleep(Duration::from_millis(2)));
        assert!(time >= 2.0, "{time} ms");
    }
}
