//! The record through the built binary: import, export, history, verify, settling,
//! withdrawing, erasing, documents made again; faults in between.

#![expect(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod support;

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Output, Stdio};
use std::time::{Duration, Instant};

use serde_json::Value;
use support::{Temporary, copy, json, tooth, workspace};

/// A place with a data folder and job folders.
struct Office {
    temporary: Temporary,
    data: &'static str,
}

impl Office {
    fn new() -> Self {
        Self { temporary: Temporary::new(), data: "data" }
    }

    /// The same place, another installation.
    fn other<T>(&mut self, work: impl FnOnce(&Self) -> T) -> T {
        self.data = "other";
        let done = work(self);
        self.data = "data";
        done
    }

    fn path(&self, name: &str) -> PathBuf {
        self.temporary.path().join(name)
    }

    /// A copy of a job of the workspace.
    fn job(&self, from: &str, name: &str) -> PathBuf {
        let to = self.path(name);
        copy(&workspace(from), &to);
        to
    }

    fn run(&self, arguments: &[&str]) -> Output {
        tooth(arguments)
            .current_dir(self.temporary.path())
            .env("TOOTH_DATA", self.path(self.data))
            .output()
            .unwrap()
    }

    /// The answer of a verb that ends with 0.
    fn answer(&self, arguments: &[&str]) -> Value {
        let output = self.run(&[arguments, &["--json"]].concat());
        let words = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(0), "{arguments:?}: {words}");
        json(&output)
    }

    /// The answer of a verb that ends with 1.
    fn no(&self, arguments: &[&str]) -> Value {
        let output = self.run(&[arguments, &["--json"]].concat());
        let words = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(1), "{arguments:?}: {words}");
        json(&output)
    }

    /// What a refused verb found.
    fn refused(&self, arguments: &[&str]) -> String {
        let output = self.run(&[arguments, &["--json"]].concat());
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
        json(&output)["errors"].to_string()
    }

    fn import(&self, folder: &str) -> Value {
        self.answer(&["import", folder])
    }

    fn job_id(&self) -> String {
        let jobs = self.answer(&["jobs"]);
        jobs["jobs"][0]["job"].as_str().unwrap().to_owned()
    }

    fn export(&self, to: &str) -> Value {
        self.answer(&["export", &self.job_id(), "--to", to])
    }
}

/// Every file of a folder with its bytes, but for the carried record.
fn readable(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut files = BTreeMap::new();
    let mut folders = vec![folder.to_owned()];
    while let Some(next) = folders.pop() {
        for entry in fs::read_dir(&next).unwrap() {
            let path = entry.unwrap().path();
            let name = path.strip_prefix(folder).unwrap().to_string_lossy().into_owned();
            if path.is_dir() {
                if name != "files" {
                    folders.push(path);
                }
            } else if !["record.jsonl", "chain.jsonl"].contains(&name.as_str()) {
                files.insert(name, fs::read(&path).unwrap());
            }
        }
    }
    files
}

fn replace(path: &Path, from: &str, to: &str) {
    let text = fs::read_to_string(path).unwrap();
    assert!(text.contains(from), "`{from}` is not in {}", path.display());
    fs::write(path, text.replace(from, to)).unwrap();
}

#[test]
fn a_folder_that_went_through_the_record_comes_back_byte_for_byte() {
    for job in ["demo", "examples/rejected-slab", "examples/nearly-ready", "examples/stressed-deck"]
    {
        let office = Office::new();
        let folder = office.job(job, "job");
        let imported = office.import("job");
        assert!(imported["entries"].as_u64().unwrap() > 10, "{imported}");
        office.export("out/there");
        assert_eq!(readable(&folder), readable(&office.path("out/there")), "{job}");
        let assessed = |job: &str| office.run(&["assess", job, "--json"]).stdout;
        assert_eq!(assessed("job"), assessed(&office.job_id()), "{job}");
    }
}

#[test]
fn doing_it_again_changes_nothing() {
    let office = Office::new();
    office.job("demo", "job");
    let first = office.import("job");
    let again = office.import("job");
    assert_eq!(again["entries"], 0);
    assert_eq!(again["head"], first["head"]);
    office.export("there");
    let back = office.import("there");
    assert_eq!((back["entries"].clone(), back["head"].clone()), (0.into(), first["head"].clone()));
    let before = fs::read(office.path("there/record.jsonl")).unwrap();
    office.export("there");
    assert_eq!(before, fs::read(office.path("there/record.jsonl")).unwrap());
}

#[test]
fn an_edit_of_a_folder_without_a_record_comes_in_as_a_correction() {
    let office = Office::new();
    let folder = office.job("demo", "job");
    office.import("job");
    replace(
        &folder.join("readings.csv"),
        "R001,air_temperature,gallery,10,14,68,F",
        "R001,air_temperature,gallery,10,14,71,F",
    );
    let edited =
        office.answer(&["import", "job", "--by", "M. Adeyemi", "--reason", "typed wrongly"]);
    assert_eq!(edited["corrected"], serde_json::json!(["reading/R001"]), "{edited}");
    assert_eq!(edited["entries"], 2, "the reading and the file as it was typed: {edited}");
    let history = office.answer(&["history", &office.job_id(), "reading/R001"]);
    let entries = history["entries"].as_array().unwrap();
    assert_eq!(entries.len(), 2);
    assert_eq!(entries[0]["counts"], false);
    assert_eq!(entries[0]["entry"]["fact"]["stated"]["value"]["value"], "68");
    let correction = &entries[1]["entry"]["fact"]["corrected"];
    assert_eq!(correction["value"]["value"], "71");
    assert_eq!(correction["reason"], "typed wrongly");
    assert_eq!(correction["replaces"][0], entries[0]["entry"]["id"]);
    assert_eq!(entries[1]["entry"]["author"], "M. Adeyemi");
    assert_eq!(office.import("job")["entries"], 0);
    office.export("there");
    assert_eq!(readable(&folder), readable(&office.path("there")));
}

#[test]
fn an_edit_of_an_exported_folder_comes_in_once() {
    let office = Office::new();
    office.job("demo", "job");
    office.import("job");
    office.export("there");
    let there = office.path("there");
    replace(
        &there.join("job.toml"),
        "labour = \"58 USD/h\"",
        "labour = \"61 USD/h\"  # since October",
    );
    let removed = fs::read_to_string(there.join("readings.csv")).unwrap();
    let kept: Vec<&str> = removed.lines().filter(|line| !line.starts_with("R002,")).collect();
    fs::write(there.join("readings.csv"), kept.join("\n") + "\n").unwrap();
    fs::remove_file(there.join("forecast.csv")).unwrap();
    let refusal = office.refused(&["export", &office.job_id(), "--to", "there"]);
    assert!(refusal.contains("edited by hand"), "{refusal}");
    let refusal = office.refused(&["import", "there"]);
    assert!(refusal.contains("forecast.csv") && refusal.contains("--withdraw"), "{refusal}");
    let tried = office.answer(&["import", "there", "--withdraw", "--dry-run"]);
    assert_eq!((tried["dry_run"].clone(), tried["entries"].clone()), (true.into(), 0.into()));
    let edited = office.answer(&["import", "there", "--withdraw"]);
    assert_eq!(edited["corrected"], serde_json::json!(["job/rates"]), "{edited}");
    let gone = serde_json::json!(["reading/R002", "forecast", "file/forecast.csv"]);
    assert_eq!(edited["withdrawn"], gone, "{edited}");
    assert_eq!(edited["brought_up_to_date"], true);
    assert_eq!(office.import("there")["entries"], 0);
    office.export("after");
    assert_eq!(readable(&there), readable(&office.path("after")));
    // Nobody's word is lost: the readings that were taken out are in the history.
    let history = office.answer(&["history", &office.job_id(), "reading/R002"]);
    assert_eq!(history["entries"].as_array().unwrap().len(), 2);
}

#[test]
fn two_peoples_edits_both_stay_until_somebody_settles_them() {
    let mut office = Office::new();
    office.job("examples/nearly-ready", "job");
    office.import("job");
    office.export("mine");
    let her_head = office.other(|other| {
        copy(&other.path("mine"), &other.path("hers"));
        other.import("hers");
        let csv = other.path("hers/readings.csv");
        edit_first_pull_off(&csv, "0.9");
        other.answer(&["import", "hers", "--by", "K. Lindqvist"]);
        let job = other.job_id();
        other.answer(&["export", &job, "--to", "from-her"])["head"].clone()
    });
    edit_first_pull_off(&office.path("mine/readings.csv"), "2.9");
    office.answer(&["import", "mine", "--by", "M. Adeyemi"]);
    let merged = office.import("from-her");
    assert_eq!(merged["parted"], true, "{merged}");
    // Her printed head still proves her entries, in her order.
    let hers = her_head.as_str().unwrap();
    let proven = office.answer(&["verify", &office.job_id(), "--head", hers]);
    assert_eq!(proven["jobs"][0]["proven_elsewhere"][0], her_head, "{proven}");
    let forged = hers.replace(|c: char| c.is_ascii_digit(), "0");
    let forged =
        format!("{}-{}", hers.split('-').next().unwrap(), forged.split('-').nth(1).unwrap());
    office.no(&["verify", &office.job_id(), "--head", &forged]);
    let clashes = merged["clashes"].as_array().unwrap();
    let thing = clashes[0].as_str().unwrap().to_owned();
    assert!(thing.starts_with("reading/"), "{merged}");
    assert_eq!(office.import("from-her")["entries"], 0);

    let job = office.job_id();
    let assessed = office.answer(&["assess", &job]);
    let unsettled = |assessed: &Value| -> Vec<String> {
        let zones = assessed["zones"].as_array().unwrap();
        let gaps = zones.iter().flat_map(|zone| zone["unknown"].as_array().unwrap());
        gaps.filter(|gap| gap["code"] == "unsettled").map(|gap| gap["test"].to_string()).collect()
    };
    let gaps = unsettled(&assessed);
    assert!(!gaps.is_empty(), "a clash is never fine: {assessed}");
    assert!(gaps[0].contains("K. Lindqvist") && gaps[0].contains("M. Adeyemi"), "{gaps:?}");

    let history = office.answer(&["history", &job, &thing]);
    let hers = history["entries"]
        .as_array()
        .unwrap()
        .iter()
        .find(|entry| entry["entry"]["author"] == "K. Lindqvist")
        .unwrap();
    let place = hers["place"].to_string();
    office.answer(&[
        "settle",
        &job,
        &thing,
        "--keep",
        &place,
        "--by",
        "M. Adeyemi",
        "--reason",
        "measured again",
    ]);
    let history = office.answer(&["history", &job, &thing]);
    assert_eq!(
        history["clashes"]
            .as_array()
            .unwrap()
            .iter()
            .filter(|known| **known == thing.as_str())
            .count(),
        0
    );
    let counting: Vec<&Value> = history["entries"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|entry| entry["counts"] == true)
        .collect();
    assert_eq!(counting.len(), 1);
    assert_eq!(counting[0]["entry"]["fact"]["corrected"]["value"]["value"], "0.9");
    assert!(office.answer(&["verify"])["whole"] == true);
}

fn edit_first_pull_off(csv: &Path, strength: &str) {
    let text = fs::read_to_string(csv).unwrap();
    let heading: Vec<&str> = text.lines().next().unwrap().split(',').collect();
    let at = heading.iter().position(|name| *name == "value").unwrap();
    let row = text.lines().find(|line| line.contains(",pull_off,")).unwrap();
    let mut cells: Vec<&str> = row.split(',').collect();
    cells[at] = strength;
    fs::write(csv, text.replace(row, &cells.join(","))).unwrap();
}

#[test]
fn an_erased_file_is_gone_and_its_hash_and_reason_stay() {
    let office = Office::new();
    office.job("demo", "job");
    office.import("job");
    office.export("before");
    let job = office.job_id();
    let hash = {
        let history = office.answer(&["history", &job, "file/photos/oil.jpg"]);
        history["entries"][0]["entry"]["fact"]["attached"]["hash"].as_str().unwrap().to_owned()
    };
    let act = ["--by", "M. Adeyemi", "--reason", "shows a neighbour"];
    let refusal = office.refused(&[&["erase", &job, "photos/oil.jpg"], act.as_slice()].concat());
    assert!(refusal.contains("withdraw"), "{refusal}");
    // The plan names it: that is said, and settled by withdrawing the mark first.
    let withdraw =
        |thing: &str| [&["withdraw", job.as_str(), thing], act.as_slice()].concat().join("\u{1}");
    let run = |line: String| office.answer(&line.split('\u{1}').collect::<Vec<_>>());
    let line = withdraw("file/photos/oil.jpg");
    let refusal = office.refused(&line.split('\u{1}').collect::<Vec<_>>());
    assert!(refusal.contains("N4.file") && refusal.contains("--anyway"), "{refusal}");
    run(withdraw("feature/N4"));
    run(withdraw("file/photos/oil.jpg"));
    office.answer(&["check", &job]);
    let erased = office.answer(&[&["erase", &job, "photos/oil.jpg"], act.as_slice()].concat());
    assert_eq!(erased["entries"].as_array().unwrap().len(), 1);
    let again = office.answer(&[&["erase", &job, "photos/oil.jpg"], act.as_slice()].concat());
    assert_eq!(again["entries"].as_array().unwrap().len(), 0);
    assert!(!office.path("data/files").join(&hash[..2]).join(&hash).exists());
    assert_eq!(office.answer(&["verify"])["whole"], true);
    // An old export does not bring the bytes back.
    assert_eq!(office.import("before")["entries"], 0);
    assert!(!office.path("data/files").join(&hash[..2]).join(&hash).exists());
    office.export("after");
    assert!(!office.path("after/files").join(&hash[..2]).join(&hash).exists());
    assert!(!office.path("after/photos/oil.jpg").exists());
    let record = fs::read_to_string(office.path("after/record.jsonl")).unwrap();
    assert!(record.contains(&hash) && record.contains("shows a neighbour"));
    assert_eq!(office.answer(&["verify", "after"])["whole"], true);
}

#[test]
fn issued_documents_are_made_again_byte_for_byte_after_the_record_went_on() {
    let office = Office::new();
    let folder = office.job("examples/nearly-ready", "job");
    office.import("job");
    let job = office.job_id();
    let issued = office.answer(&[
        "report",
        &job,
        "--out",
        "first",
        "--seed",
        "7",
        "--issued-on",
        "2026-09-30",
    ]);
    assert_eq!(issued["issued"]["number"], 1);
    let same = office.answer(&[
        "report",
        &job,
        "--out",
        "same",
        "--seed",
        "7",
        "--issued-on",
        "2026-09-30",
    ]);
    assert_eq!(
        (same["issued"]["number"].clone(), same["issued"]["again"].clone()),
        (1.into(), true.into())
    );
    assert_eq!(readable(&office.path("first")), readable(&office.path("same")));
    edit_first_pull_off(&folder.join("readings.csv"), "1.9");
    office.import("job");
    let later = office.answer(&["report", &job, "--out", "second"]);
    assert_eq!(later["issued"]["number"], 2);
    assert_ne!(readable(&office.path("first")), readable(&office.path("second")));
    let again = office.answer(&["report", &job, "--again", "1", "--out", "again"]);
    for document in again["documents"].as_array().unwrap() {
        assert_eq!(document["state"], "remade", "{document}");
    }
    assert_eq!(readable(&office.path("first")), readable(&office.path("again")));
    // An exported folder makes them elsewhere too, with its own entries.
    office.export("there");
    let mut office = office;
    office.other(|other| {
        other.import("there");
        other.answer(&["report", &other.job_id(), "--again", "1", "--out", "elsewhere"]);
    });
    let elsewhere = readable(&office.path("elsewhere"));
    assert_eq!(readable(&office.path("first")), elsewhere);
    let refusal = office.refused(&["report", &job, "--again", "9", "--out", "none"]);
    assert!(refusal.contains("from 1 to 2"), "{refusal}");
}

#[test]
fn verify_names_the_first_altered_entry_and_what_it_cannot_prove() {
    let office = Office::new();
    office.job("examples/nearly-ready", "job");
    let head = office.import("job")["head"].as_str().unwrap().to_owned();
    office.export("there");
    let whole = office.answer(&["verify", "there"]);
    assert_eq!(whole["jobs"][0]["proven_entries"], 0);
    assert!(whole["jobs"][0]["not_proven"].to_string().contains("all together"), "{whole}");
    let proven = office.answer(&["verify", "there", "--head", &head]);
    assert_eq!(proven["jobs"][0]["proven_entries"], proven["jobs"][0]["entries"]);

    let record = office.path("there/record.jsonl");
    let text = fs::read_to_string(&record).unwrap();
    let lines: Vec<&str> = text.lines().collect();
    let place = lines.iter().position(|line| line.contains("\"kind\":\"pull_off\"")).unwrap();
    let forged = lines[place].replacen("\"by\":\"", "\"by\":\"X", 1);
    assert_ne!(forged, lines[place]);
    fs::write(&record, text.replace(lines[place], &forged)).unwrap();
    let altered = office.no(&["verify", "there"]);
    let first = &altered["jobs"][0]["altered"][0];
    assert_eq!(
        (first["place"].clone(), first["wrong"].clone()),
        ((place + 1).into(), "entry_altered".into())
    );
    assert!(first["entry"].as_str().unwrap().contains("reading"), "{first}");
    let refusal = office.refused(&["import", "there"]);
    assert!(
        refusal.contains("record.jsonl") && refusal.contains(&format!("\"line\":{}", place + 1)),
        "{refusal}"
    );
    assert_eq!(office.answer(&["verify"])["whole"], true, "the record itself is untouched");
}

#[test]
fn a_byte_changed_in_the_database_or_a_file_is_found() {
    let office = Office::new();
    office.job("demo", "job");
    office.import("job");
    let database = office.path("data/tooth.sqlite");
    let bytes = fs::read(&database).unwrap();
    let needle = b"instrument\":\"hygrometer 2";
    let at = bytes.windows(needle.len()).position(|window| window == needle).unwrap();
    let mut changed = bytes.clone();
    changed[at + 14] ^= 1;
    fs::write(&database, &changed).unwrap();
    let verified = office.no(&["verify"]);
    assert_eq!(verified["jobs"][0]["altered"][0]["wrong"], "entry_altered", "{verified}");
    fs::write(&database, &bytes).unwrap();
    assert_eq!(office.answer(&["verify"])["whole"], true);

    let mut folders: Vec<PathBuf> = fs::read_dir(office.path("data/files"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    folders.sort();
    let file = fs::read_dir(&folders[0]).unwrap().next().unwrap().unwrap().path();
    let mut bytes = fs::read(&file).unwrap();
    let middle = bytes.len() / 2;
    bytes[middle] ^= 0x40;
    fs::write(&file, bytes).unwrap();
    let verified = office.no(&["verify"]);
    assert_eq!(verified["jobs"][0]["files"][0]["what"], "was altered", "{verified}");
}

#[test]
fn another_job_of_the_same_name_is_not_mixed_in() {
    let office = Office::new();
    office.job("examples/nearly-ready", "job");
    office.import("job");
    let other = office.job("examples/rejected-slab", "another");
    let name = |folder: &Path| {
        let text = fs::read_to_string(folder.join("job.toml")).unwrap();
        let field = |key: &str| text.lines().find(|line| line.starts_with(key)).unwrap().to_owned();
        (field("name = "), field("contractor = "))
    };
    let (wanted, found) = (name(&office.path("job")), name(&other));
    replace(&other.join("job.toml"), &found.0, &wanted.0);
    if found.1 != wanted.1 {
        replace(&other.join("job.toml"), &found.1, &wanted.1);
    }
    let refusal = office.refused(&["import", "another"]);
    assert!(refusal.contains("another name"), "{refusal}");
    assert_eq!(office.answer(&["jobs"])["jobs"].as_array().unwrap().len(), 1);
}

#[test]
fn an_import_that_is_killed_is_done_again_without_loss() {
    let office = Office::new();
    office.job("demo", "job");
    let mut killed = 0;
    for round in 0..12u64 {
        let mut child = tooth(&["import", "job"])
            .current_dir(office.temporary.path())
            .env("TOOTH_DATA", office.path("data"))
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let end = Instant::now() + Duration::from_millis(15 * (round + 1));
        while Instant::now() < end && child.try_wait().unwrap().is_none() {
            std::thread::sleep(Duration::from_millis(1));
        }
        if child.try_wait().unwrap().is_none() {
            killed += 1;
        }
        let _ = child.kill();
        child.wait().unwrap();
        // Killed before there was a record at all, there is none; else it is whole.
        if office.path("data/tooth.sqlite").exists() {
            assert_eq!(office.answer(&["verify"])["whole"], true, "round {round}");
        }
    }
    assert!(killed > 0, "no import was interrupted: the test shows nothing");
    office.import("job");
    office.export("there");
    assert_eq!(readable(&office.path("job")), readable(&office.path("there")));
}

#[test]
fn imports_at_the_same_time_leave_one_record() {
    let office = Office::new();
    office.job("demo", "job");
    let start = || {
        tooth(&["import", "job"])
            .current_dir(office.temporary.path())
            .env("TOOTH_DATA", office.path("data"))
            .stdout(Stdio::null())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap()
    };
    let children: Vec<_> = (0..4).map(|_| start()).collect();
    for child in children {
        let output = child.wait_with_output().unwrap();
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    }
    let jobs = office.answer(&["jobs"]);
    assert_eq!(jobs["jobs"].as_array().unwrap().len(), 1);
    assert_eq!(office.answer(&["verify"])["whole"], true);
    assert_eq!(office.import("job")["entries"], 0);
}

#[test]
fn a_place_that_cannot_be_written_is_said_with_what_to_do() {
    let office = Office::new();
    office.job("examples/nearly-ready", "job");
    fs::write(office.path("data"), "a file where the folder should be").unwrap();
    let output = office.run(&["import", "job"]);
    assert_eq!(output.status.code(), Some(3));
    let words = String::from_utf8_lossy(&output.stderr);
    assert!(words.contains("record"), "{words}");
    assert!(!words.contains("panicked"), "{words}");
}

#[test]
fn a_job_that_nobody_knows_is_refused_in_words() {
    let office = Office::new();
    office.job("examples/nearly-ready", "job");
    office.import("job");
    for verb in [["history", "nothing"], ["check", "nothing"]] {
        let refusal = office.refused(&verb);
        assert!(refusal.contains("nothing"), "{refusal}");
    }
    let refusal = office.refused(&["history", &office.job_id(), "reading/none"]);
    assert!(refusal.contains("reading/none"), "{refusal}");
    let refusal = office.refused(&["verify", "job"]);
    assert!(refusal.contains("record.jsonl"), "{refusal}");
}

/// Folders as released versions wrote them: `schema-1` plain, and with its record.
#[test]
fn folders_of_every_released_form_still_come_in_whole() {
    let folders = workspace("crates/tooth/tests/folders");
    let mut seen = 0;
    for form in fs::read_dir(&folders).unwrap() {
        let form = form.unwrap().path();
        let name = form.file_name().unwrap().to_string_lossy().into_owned();
        let expected: Value =
            serde_json::from_slice(&fs::read(form.join("expected.json")).unwrap()).unwrap();
        let office = Office::new();
        copy(&form.join("job"), &office.path("job"));
        let imported = office.import("job");
        assert_eq!(imported["job"], expected["job"], "{name}");
        assert_eq!(imported["clashes"], expected["clashes"], "{name}");
        assert_eq!(imported["entries"], expected["entries"], "{name}");
        if expected.get("head").is_some() {
            assert_eq!(
                imported["head"], expected["head"],
                "{name}: the chain is taken over as it is"
            );
        }
        office.export("there");
        assert_eq!(readable(&form.join("job")), readable(&office.path("there")), "{name}");
        assert_eq!(office.answer(&["verify", "there"])["whole"], true);
        let checked = office.answer(&["check", &office.job_id()]);
        for (what, count) in expected["counts"].as_object().unwrap() {
            assert_eq!(&checked[what], count, "{name}: {what}");
        }
        seen += 1;
    }
    assert_eq!(seen, 2, "a released form's folder is missing");
}
