//! The schema of every verb's JSON is frozen: a change shows as a difference here.
//! `cargo xtask bless` writes the files anew.
#![expect(clippy::unwrap_used, clippy::panic, reason = "a test fails loudly")]

mod snapshot;

use std::process::Command;

fn schema_of(verb: &str) -> String {
    let output =
        Command::new(env!("CARGO_BIN_EXE_tooth")).args([verb, "--schema"]).output().unwrap();
    assert!(output.status.success(), "{verb}: {}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap()
}

#[test]
fn the_schema_of_every_verb_is_as_frozen() {
    for verb in [
        "check", "assess", "plan", "estimate", "accept", "report", "run", "ambient", "import",
        "export", "verify", "jobs", "history", "settle", "withdraw", "erase", "sounding",
        "texture", "colour", "card", "quick", "new",
    ] {
        snapshot::compare(&format!("schema-{verb}.json"), &schema_of(verb));
    }
}

/// The page's types are made from this file.
#[test]
fn the_description_of_every_address_is_as_frozen() {
    snapshot::compare("openapi.json", &schema_of("serve"));
}

#[test]
fn the_schema_of_documents_made_again_is_as_frozen() {
    let output = Command::new(env!("CARGO_BIN_EXE_tooth"))
        .args(["report", "--schema", "--again"])
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    snapshot::compare("schema-report-again.json", &String::from_utf8(output.stdout).unwrap());
}

/// Every number field of the schema says its unit: by its name's end, or as money,
/// hours, counts and shares whose names say it.
#[test]
fn every_field_of_every_schema_has_a_description() {
    for verb in [
        "check", "assess", "plan", "estimate", "accept", "ambient", "import", "export", "verify",
        "jobs", "history", "settle", "withdraw", "erase", "sounding", "texture", "colour", "card",
        "quick", "new",
    ] {
        let schema: serde_json::Value = serde_json::from_str(&schema_of(verb)).unwrap();
        let mut bare = Vec::new();
        undescribed(&schema, verb, &mut bare);
        assert!(bare.is_empty(), "fields without a description: {bare:#?}");
    }
}

fn undescribed(schema: &serde_json::Value, path: &str, into: &mut Vec<String>) {
    match schema {
        serde_json::Value::Object(members) => {
            // One of several kinds says what it is beside its only field.
            let kind = path.ends_with("/oneOf") && members.contains_key("description");
            if let Some(properties) = members.get("properties").and_then(|p| p.as_object())
                && !(kind && properties.len() == 1)
            {
                for (name, field) in properties {
                    if field.get("description").is_none() {
                        into.push(format!("{path}.{name}"));
                    }
                }
            }
            for (name, value) in members {
                undescribed(value, &format!("{path}/{name}"), into);
            }
        }
        serde_json::Value::Array(items) => {
            for item in items {
                undescribed(item, path, into);
            }
        }
        _ => {}
    }
}
