//! Prints every single fault with its dead, doubtful and live cylinders, as JSON.
//!
//! ```sh
//! cargo run --release -p sparktrail-core --example effects -- FILE
//! ```

use std::process::ExitCode;

use serde_json::{Map, Value, json};
use sparktrail_core::faults::{Effect, Verdict, effects};
use sparktrail_core::model::{Harness, Spark};
use sparktrail_core::topology::Topology;

mod open;

fn main() -> ExitCode {
    open::with_harness("effects", |harness| {
        let topology = Topology::of(harness);
        let faults: Vec<Value> = effects(harness, &topology)
            .iter()
            .map(|effect| told(harness, effect))
            .collect();
        json!({ "title": harness.title, "faults": faults })
    })
}

fn told(harness: &Harness, effect: &Effect) -> Value {
    let mode = effect.fault.mode;
    let mut fields = Map::new();
    let mut field = |name: &str, value: Value| fields.insert(name.into(), value);
    let element = harness.element_name(effect.fault.element);
    field("element", element.into());
    field("mode", mode.kind().code().into());
    if let Some(ohms) = mode.ohms() {
        field("ohms", ohms.get().into());
    }
    if let Some(with) = mode.subject(harness) {
        field("with", with.into());
    }
    let list = |verdicts: &[Verdict]| -> Value {
        verdicts
            .iter()
            .map(|verdict| word(harness, verdict))
            .collect()
    };
    field("dead", list(&effect.dead));
    field("doubtful", list(&effect.doubtful));
    field("live", list(&effect.live));
    let besides: Vec<Value> = effect
        .besides
        .iter()
        .map(|what| with_subject(json!({ "what": what.code() }), what.subject(harness)))
        .collect();
    if !besides.is_empty() {
        field("besides", besides.into());
    }
    Value::Object(fields)
}

fn word(harness: &Harness, verdict: &Verdict) -> Value {
    let spark = match verdict.spark {
        Some(Spark::Yes) => "yes",
        Some(Spark::No) => "no",
        Some(Spark::Weak) => "weak",
        Some(Spark::WrongTime) => "wrong-time",
        None => "unknown",
    };
    let told = json!({
        "cylinder": verdict.cylinder.0,
        "spark": spark,
        "reason": verdict.reason.code(),
    });
    with_subject(told, verdict.reason.subject(harness))
}

fn with_subject(mut told: Value, subject: Option<String>) -> Value {
    if let (Some(fields), Some(subject)) = (told.as_object_mut(), subject) {
        fields.insert("of".into(), subject.into());
    }
    told
}
