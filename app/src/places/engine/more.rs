//! What is seldom asked: name, strokes, numbers, uneven firing, packs, plugs, supply, connectors.

use leptos::prelude::*;
use sparktrail_core::edit::layouts::{
    Feeds, Housing, Injectors, Inline, Numbering, PlugsEach, SupplyBy,
};
use sparktrail_core::engine::Strokes;

use super::answers::{Answers, Steps};
use super::fields::line;
use crate::places::words::engine::{self as words, Refusal, Stand};
use crate::text::Text;
use crate::ui::drop_down;

const STROKES: [Strokes; 2] = [Strokes::Four, Strokes::Two];
const NUMBERINGS: [Numbering; 2] = [Numbering::RowByRow, Numbering::Alternating];
const STEPS: [Steps; 2] = [Steps::Even, Steps::Uneven];
/// More coils than any engine has make one pack of all.
const ONE_PACK: u8 = 64;
const HOUSINGS: [Housing; 6] = [
    Housing::Single,
    Housing::Packs(ONE_PACK),
    Housing::Packs(2),
    Housing::Packs(3),
    Housing::RowPacks(Feeds::OwnRow),
    Housing::RowPacks(Feeds::OppositeRow),
];
const PLUGS: [PlugsEach; 3] = [PlugsEach::One, PlugsEach::Two, PlugsEach::TwoOnOneCoil];
const SUPPLIES: [SupplyBy; 2] = [SupplyBy::Relay, SupplyBy::Key];
const INLINES: [Inline; 3] = [Inline::None, Inline::One, Inline::PerBank];
const INJECTORS: [Injectors; 2] = [Injectors::Left, Injectors::Drawn];

/// A list over some of the answers.
fn asked<T: Copy + PartialEq + Send + Sync + 'static>(
    answers: RwSignal<Answers>,
    (label, words): (Text, &'static [Text]),
    all: &'static [T],
    get: fn(&Answers) -> T,
    set: fn(&mut Answers, T),
) -> AnyView {
    let at = move || {
        let now = answers.with(get);
        all.iter().position(|one| *one == now).unwrap_or(0)
    };
    let go = move |place: usize| {
        if let Some(one) = all.get(place) {
            answers.update(|answers| set(answers, *one));
        }
    };
    drop_down(
        label.said(),
        words.iter().copied(),
        Signal::derive(at),
        Callback::new(go),
    )
}

/// The folded questions.
pub(super) fn more(
    answers: RwSignal<Answers>,
    title: RwSignal<Option<String>>,
    refusal: Signal<Option<Refusal>>,
) -> AnyView {
    let fine = Signal::derive(|| false);
    let name = move || {
        title
            .get()
            .unwrap_or_else(|| answers.with(|a| words::title(a.stands(), a.cylinders)))
    };
    let two_rows = Memo::new(move |_| answers.with(|answers| answers.stands() != Stand::Inline));
    let numbering = move || {
        two_rows.get().then(|| {
            asked(
                answers,
                words::NUMBERING,
                &NUMBERINGS,
                Answers::numbered,
                |answers, numbering| answers.numbering = Some(numbering),
            )
        })
    };
    view! {
        <details class="card engine-more">
            <summary>{words::MORE}</summary>
            <div class="engine-lists">
                {line(
                    words::NAME.into(),
                    Signal::derive(name),
                    fine,
                    Callback::new(move |typed| title.set(Some(typed))),
                )}
                {asked(
                    answers,
                    words::HOUSING,
                    &HOUSINGS,
                    |answers| answers.housing,
                    |answers, housing| answers.housing = housing,
                )}
                {asked(
                    answers,
                    words::PLUGS,
                    &PLUGS,
                    |answers| answers.plugs,
                    |answers, plugs| answers.plugs = plugs,
                )}
                {asked(
                    answers,
                    words::SUPPLY,
                    &SUPPLIES,
                    |answers| answers.supply,
                    |answers, supply| answers.supply = supply,
                )}
                {asked(
                    answers,
                    words::INLINE,
                    &INLINES,
                    |answers| answers.inline,
                    |answers, inline| answers.inline = inline,
                )}
                {asked(
                    answers,
                    words::INJECTORS,
                    &INJECTORS,
                    |answers| answers.injectors,
                    |answers, injectors| answers.injectors = injectors,
                )}
                {asked(
                    answers,
                    words::STROKES,
                    &STROKES,
                    |answers| answers.strokes,
                    |answers, strokes| {
                        answers.strokes = strokes;
                        answers.angles.clear();
                    },
                )}
                {numbering}
                {bank_angle(answers, refusal)}
                {asked(
                    answers,
                    words::STEPS,
                    &STEPS,
                    |answers| answers.steps,
                    |answers, steps| answers.steps = steps,
                )}
            </div>
            {angles(answers, refusal)}
        </details>
    }
    .into_any()
}

/// The angle between the rows of a vee.
fn bank_angle(answers: RwSignal<Answers>, refusal: Signal<Option<Refusal>>) -> AnyView {
    let is_vee = Memo::new(move |_| answers.with(|answers| answers.stands() == Stand::Vee));
    let field = move || {
        is_vee.get().then(|| {
            let text = move || answers.with(Answers::bank_angle_text);
            let is_wrong = move || refusal.get() == Some(Refusal::BankAngle);
            let typed = move |typed| answers.update(|answers| answers.bank_angle = Some(typed));
            line(
                words::BANK_ANGLE.into(),
                Signal::derive(text),
                Signal::derive(is_wrong),
                Callback::new(typed),
            )
        })
    };
    view! { {field} }.into_any()
}

/// The crank angles of an uneven engine, in firing order.
fn angles(answers: RwSignal<Answers>, refusal: Signal<Option<Refusal>>) -> AnyView {
    // Fields stay while their own text is typed; another order makes them anew.
    let order = Memo::new(move |_| {
        answers.with(|answers| match answers.steps {
            Steps::Even => None,
            Steps::Uneven => answers.fires().ok(),
        })
    });
    let fields = move || {
        order.get().map(|order| {
            let fields: Vec<AnyView> = order
                .into_iter()
                .enumerate()
                .map(|(place, cylinder)| {
                    let text = move || answers.with(|answers| answers.angle_text(place));
                    let is_wrong = move || refusal.get() == Some(Refusal::Angle(place));
                    let typed = move |typed| {
                        answers.update(|answers| {
                            answers.angles.insert(place, typed);
                        });
                    };
                    line(
                        words::fires_at(cylinder),
                        Signal::derive(text),
                        Signal::derive(is_wrong),
                        Callback::new(typed),
                    )
                })
                .collect();
            view! {
                <fieldset class="engine-angles">
                    <legend>{words::ANGLES}</legend>
                    <p class="faint small">{words::ANGLES_HINT}</p>
                    <div class="engine-lists">{fields}</div>
                </fieldset>
            }
            .into_any()
        })
    };
    view! { {fields} }.into_any()
}
