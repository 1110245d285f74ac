use serde_json::{Value, json};
use tooth_formats::job_folder::described;
use tooth_formats::{FieldAsked, FormAsked};
use tooth_measure::UnitSystem;
use tooth_measure::say::Language;
use tooth_words::Words;

fn field(words: &Words, f: &FieldAsked) -> Value {
    let of = match &f.of {
        FormAsked::Table { fields } => {
            json!({"form": "table", "fields": fields.iter().map(|f| field(words, f)).collect::<Vec<_>>()})
        }
        FormAsked::Choice { choices, usual } => {
            json!({"form": "choice", "usual": usual, "choices": choices.iter().map(|c| json!({"key": c.key, "name": words.say(&c.name)})).collect::<Vec<_>>()})
        }
        other => serde_json::to_value(other).unwrap(),
    };
    json!({"name": f.name, "meaning": words.say(&f.meaning), "must": f.must, "many": f.many, "of": of})
}

#[test]
fn dump() {
    for language in Language::ALL {
        let words = Words::new(*language, UnitSystem::UsCustomary);
        let things: Vec<Value> = described().iter().map(|t| json!({
            "thing": t.thing, "table": t.table, "kind": t.kind, "name": words.say(&t.name), "shape": t.shape,
            "fields": t.fields.iter().map(|f| field(&words, f)).collect::<Vec<_>>(),
        })).collect();
        std::fs::write(
            format!("/tmp/fields-{language:?}.json"),
            serde_json::to_string(&json!({"things": things})).unwrap(),
        )
        .unwrap();
    }
}
