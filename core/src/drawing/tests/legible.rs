//! What is written on the map can be read, whole, where it belongs.

use super::*;

fn sample(title: &str) -> Harness {
    let all = samples();
    let found = all.into_iter().find(|h| h.title.contains(title));
    found.unwrap_or_else(|| panic!("no sample is called {title}"))
}

/// CSS pixels for a map unit when the whole map is seen on a phone 390 wide and 844 high, its bars taken off.
fn phone_scale(drawing: &Drawing) -> f64 {
    (374.0 / drawing.bounds.w).min(610.0 / drawing.bounds.h)
}

#[test]
fn far_names_can_be_read_on_a_phone() {
    for harness in samples() {
        let drawing = Drawing::proportioned(&harness, Proportions::Tall);
        let scale = phone_scale(&drawing);
        let far = |pick: Pick| {
            let labels = drawing.labels.iter();
            labels
                .filter(move |l| l.of == pick && l.shows_at(Zoom::Far))
                .map(|l| l.size * scale)
                .fold(0.0, f64::max)
        };
        for &id in harness.parts.keys() {
            if matches!(harness.parts[&id].kind, PartKind::Coil(_)) {
                let size = far(Pick::Part(id));
                let name = harness.part_name(id);
                assert!(size >= 9.0, "{}: {name} at {size} px", harness.title);
            }
        }
        for cylinder in harness.engine.cylinders() {
            let size = far(Pick::Cylinder(cylinder));
            assert!(size >= 9.0, "{}: {cylinder} at {size} px", harness.title);
        }
        for (part, driver) in harness.drivers() {
            let Some(pin) = driver.output else { continue };
            let pin = Terminal {
                part,
                port: crate::model::Port::Pin(pin.value),
            };
            let size = far(Pick::Terminal(pin));
            let name = harness.terminal_name(pin);
            assert!(
                size >= 8.5 || harness.coil(part).is_some(),
                "{}: {name} at {size} px",
                harness.title
            );
        }
    }
}

#[test]
fn notes_of_places_are_not_cut() {
    for harness in samples() {
        let drawing = Drawing::of(&harness);
        for (&id, part) in &harness.parts {
            if matches!(part.kind, PartKind::ControlUnit(_)) {
                let said: Vec<&str> = drawing
                    .labels
                    .iter()
                    .filter(|l| l.of == Pick::Part(id) && l.voice == Voice::Note)
                    .map(|l| l.text.as_str())
                    .collect();
                assert_eq!(said.join(" "), part.place.text, "{}", harness.title);
            }
        }
    }
}

#[test]
fn a_word_under_a_cylinder_stays_on_the_engine() {
    for harness in samples().into_iter().chain(layouts()) {
        for proportions in BOTH {
            let drawing = Drawing::proportioned(&harness, proportions);
            let size = drawing.engine.word_size;
            for disc in &drawing.engine.discs {
                let top = disc.at.y + disc.r + 4.0;
                let word = Rect::new(disc.at.x - 12.0, top, 24.0, size);
                let bank = drawing
                    .engine
                    .banks
                    .iter()
                    .find(|b| b.overlaps(Rect::about(disc.at, 1.0, 1.0)))
                    .unwrap();
                assert!(
                    word.bottom() <= bank.bottom() + 0.5,
                    "{}: under cylinder {} at {proportions:?}",
                    harness.title,
                    disc.cylinder
                );
                for other in &drawing.engine.discs {
                    let body = Rect::about(other.at, 2.0 * other.r, 2.0 * other.r);
                    assert!(!word.overlaps(body), "{}: {}", harness.title, disc.cylinder);
                }
            }
        }
    }
}

#[test]
fn coils_stand_in_the_order_of_their_names_where_no_more_leads_cross() {
    let names = |harness: &Harness| {
        let drawing = Drawing::of(harness);
        let mut coils: Vec<(f64, String)> = harness
            .parts
            .iter()
            .filter(|(_, part)| matches!(part.kind, PartKind::Coil(_)))
            .map(|(id, part)| {
                let at = drawing.place_of(Pick::Part(*id)).unwrap();
                (at.y, part.name.clone())
            })
            .collect();
        coils.sort_by(|a, b| a.0.total_cmp(&b.0));
        coils.into_iter().map(|(_, name)| name).collect::<Vec<_>>()
    };
    let four = names(&sample("White cruiser"));
    assert_eq!(four, ["Coil A", "Coil B", "Coil C", "Coil D"]);
    // A coil for each cylinder of two rows: each stands level with its own.
    let twelve = names(&sample("Silver limousine"));
    assert_eq!(twelve[..4], ["Coil A", "Coil G", "Coil B", "Coil H"]);
}

#[test]
fn names_beside_splices_touch_no_part() {
    for harness in samples() {
        for proportions in BOTH {
            let drawing = Drawing::proportioned(&harness, proportions);
            let floating = drawing.labels.iter().filter(|l| match l.of {
                Pick::Part(id) => matches!(harness.parts[&id].kind, PartKind::Splice),
                Pick::Wire(_)
                | Pick::Element(_)
                | Pick::Cylinder(_)
                | Pick::Terminal(_)
                | Pick::Driver(_) => false,
            });
            for label in floating {
                for (part, body) in bodies(&harness, &drawing) {
                    let own = label.of == Pick::Part(part);
                    assert!(
                        own || !label.bounds().grown(3.0).overlaps(body),
                        "{}: “{}” touches {}",
                        harness.title,
                        label.text,
                        harness.part_name(part)
                    );
                }
            }
        }
    }
}
