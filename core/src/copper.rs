//! Resistance of copper wire from its cross-section, length and temperature.

use crate::units::{Celsius, Metres, Ohms, SquareMillimetres};

/// Resistivity of annealed copper at 20 °C, in Ω·mm²/m.
///
/// # Source
/// IEC 60028 (1925): 58 MS/m.
pub const RESISTIVITY: f64 = 1.0 / 58.0;

/// Change of resistance for each kelvin, as a share of the resistance at 20 °C.
///
/// # Source
/// IEC 60028: 0.00393 for annealed copper.
pub const TEMPERATURE_COEFFICIENT: f64 = 0.00393;

/// What stranding and tolerance add to a solid conductor, where no table names the size.
/// Common practice, no source: the tabulated sizes lie 1.11 to 1.15 above (resistivity ÷ area).
pub const STRANDING: f64 = 1.1;

/// Tabulated greatest resistance of bare flexible copper: area in mm², Ω/km at 20 °C.
///
/// # Source
/// IEC 60228, class 5, plain; from 10 mm² upward value from memory.
pub const FLEXIBLE: [(f64, f64); 11] = [
    (0.5, 39.0),
    (0.75, 26.0),
    (1.0, 19.5),
    (1.5, 13.3),
    (2.5, 7.98),
    (4.0, 4.95),
    (6.0, 3.30),
    (10.0, 1.91),
    (16.0, 1.21),
    (25.0, 0.780),
    (35.0, 0.554),
];

/// Resistance at 20 °C of one metre of solid annealed copper: the least a wire of that size can have.
/// An area of zero or less gives the largest finite number.
#[must_use]
pub fn solid_per_metre(area: SquareMillimetres) -> Ohms {
    if area > SquareMillimetres::ZERO {
        Ohms::lit(1.0) * (RESISTIVITY / area.get())
    } else {
        Ohms::lit(f64::MAX)
    }
}

/// Resistance at 20 °C of one metre of stranded wire: the table [`FLEXIBLE`] where it names the size
/// (to 0.5 %), else that of solid copper times [`STRANDING`].
#[must_use]
pub fn per_metre(area: SquareMillimetres) -> Ohms {
    FLEXIBLE
        .iter()
        .find(|(size, _)| (area.get() - size).abs() <= 0.005 * size)
        .map_or_else(
            || solid_per_metre(area) * STRANDING,
            |(_, per_km)| Ohms::lit(per_km / 1000.0),
        )
}

/// Resistance of a copper wire at `temperature` over that at 20 °C: a bare factor, never below zero.
///
/// # Source
/// R(t)/R(20 °C) = 1 + α·(t − 20 °C), linear about 20 °C, with [`TEMPERATURE_COEFFICIENT`].
#[must_use]
pub fn warming(temperature: Celsius) -> f64 {
    (1.0 + TEMPERATURE_COEFFICIENT * (temperature.get() - 20.0)).clamp(0.0, f64::MAX)
}

/// Resistance of a stranded copper wire. A length below zero counts as zero.
#[must_use]
pub fn resistance(area: SquareMillimetres, length: Metres, temperature: Celsius) -> Ohms {
    per_metre(area) * length.get().max(0.0) * warming(temperature)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::WireSize;

    fn near(found: f64, wanted: f64, within: f64) {
        assert!((found - wanted).abs() <= within, "{found} is not {wanted}");
    }

    /// Source: ASTM B258-02 for the sizes, IEC 60028 for the resistivity; the greatest resistances of
    /// the even sizes are those tabulated in UL 1581 for solid plain copper.
    #[test]
    fn american_wire_gauge() {
        for (gauge, area, per_km, table) in [
            (10, 5.2612, 3.277, Some(3.34)),
            (11, 4.1723, 4.132, None),
            (12, 3.3088, 5.211, Some(5.31)),
            (13, 2.6240, 6.571, None),
            (14, 2.0809, 8.286, Some(8.45)),
            (15, 1.6502, 10.448, None),
            (16, 1.3087, 13.174, Some(13.5)),
            (17, 1.0378, 16.613, None),
            (18, 0.8230, 20.948, Some(21.4)),
            (19, 0.6527, 26.415, None),
            (20, 0.5176, 33.309, Some(33.9)),
            (21, 0.4105, 42.002, None),
            (22, 0.3255, 52.963, Some(54.3)),
        ] {
            let size = WireSize::Awg(gauge).area();
            near(size.get(), area, 6e-5);
            let found = solid_per_metre(size).get() * 1000.0;
            near(found, per_km, 6e-4 * per_km);
            if let Some(most) = table {
                assert!(found < most && most < 1.03 * found, "AWG {gauge}");
            }
        }
        // ASTM B258-02 fixes two sizes: 36 is 0.0050 in, 4/0 is 0.4600 in.
        let diameter =
            |size: WireSize| (size.area().get() * 4.0 / std::f64::consts::PI).sqrt() / 25.4;
        near(diameter(WireSize::Awg(36)), 0.0050, 1e-9);
        near(diameter(WireSize::Awg(-3)), 0.4600, 1e-6);
    }

    /// Source: IEC 60228, class 5 plain, beside the floor that IEC 60028 gives.
    #[test]
    fn metric_flexible_wire() {
        for (area, milliohms) in [
            (0.5, 39.0),
            (0.75, 26.0),
            (1.0, 19.5),
            (1.5, 13.3),
            (2.5, 7.98),
            (4.0, 4.95),
            (6.0, 3.30),
        ] {
            near(
                per_metre(SquareMillimetres::lit(area)).get() * 1000.0,
                milliohms,
                1e-9,
            );
        }
        for (area, _) in FLEXIBLE {
            let area = SquareMillimetres::lit(area);
            let over = per_metre(area).get() / solid_per_metre(area).get();
            assert!((1.08..1.16).contains(&over), "{area}: {over}");
        }
        // Not in the table: 0.35 mm², 49.26 mΩ/m of solid copper, times the stated 1.1.
        near(
            per_metre(SquareMillimetres::lit(0.35)).get() * 1000.0,
            49.26 * 1.1,
            0.01,
        );
    }

    /// Source: arithmetic with the coefficient of IEC 60028.
    #[test]
    fn temperature() {
        for (celsius, factor) in [
            (-40.0, 0.7642),
            (20.0, 1.0),
            (90.0, 1.2751),
            (105.0, 1.3341),
        ] {
            near(warming(Celsius::lit(celsius)), factor, 1e-4);
        }
        let hot = resistance(
            SquareMillimetres::lit(1.5),
            Metres::lit(2.0),
            Celsius::lit(90.0),
        );
        near(hot.get(), 0.0266 * 1.2751, 1e-6);
    }

    #[test]
    fn nothing_is_ever_infinite() {
        let none = SquareMillimetres::ZERO;
        assert!(per_metre(none).get().is_finite());
        let long = resistance(none, Metres::lit(f64::MAX), Celsius::lit(f64::MAX));
        assert!(long.get().is_finite());
        let back = resistance(none, Metres::lit(-1.0), Celsius::lit(-300.0));
        near(back.get(), 0.0, 0.0);
    }
}
