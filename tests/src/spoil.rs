//! JSON spoilt in one place.

use serde_json::{Value, json};
use sparktrail_core::model::random::Dice;

/// Puts something else in place of one value, deep inside.
pub fn spoil(json: &mut Value, dice: &mut Dice) {
    let descend = dice.often(85);
    match json {
        Value::Object(fields) if descend && !fields.is_empty() => {
            let place = dice.below(fields.len());
            if dice.often(3) {
                let key = fields.keys().nth(place).cloned().unwrap_or_default();
                fields.remove(&key);
            } else if dice.often(3) {
                fields.insert("surplus".into(), Value::from(1));
            } else if let Some(value) = fields.values_mut().nth(place) {
                spoil(value, dice);
            }
        }
        Value::Array(items) if descend && !items.is_empty() => {
            let place = dice.below(items.len());
            spoil(&mut items[place], dice);
        }
        other @ (Value::Null
        | Value::Bool(_)
        | Value::Number(_)
        | Value::String(_)
        | Value::Array(_)
        | Value::Object(_)) => {
            let values = [
                json!(null),
                json!(true),
                json!(0),
                json!(-1),
                json!(2.5),
                json!(17.0),
                json!(4e12),
                json!(-4e12),
                json!(5_000_000_000_u64),
                json!(""),
                json!("gone 5"),
                json!("gone 5.coil.15"),
                json!("1.30"),
                json!("measured"),
                json!("GN"),
                json!("overload"),
                json!("x".repeat(600)),
                json!([]),
                json!([1, 2]),
                json!({}),
                json!({ "value": 1, "how": "measured" }),
            ];
            *other = values[dice.below(values.len())].clone();
        }
    }
}
