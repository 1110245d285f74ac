//! Hostile and mistaken job folders: each is refused with exit code 2, one JSON document
//! that says file, line and field of every fault, and nothing written.

#![expect(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod support;

use std::fs;
use std::path::{Path, PathBuf};

use serde_json::Value;
use support::{Temporary, copy, json, tooth, workspace};

/// A copy of the demo that a test may spoil.
struct Job {
    temporary: Temporary,
}

#[derive(Debug, Clone, PartialEq)]
struct Fault {
    file: String,
    line: Option<u64>,
    field: String,
    expected: String,
    found: String,
}

impl Job {
    fn demo() -> Self {
        let temporary = Temporary::new();
        copy(&workspace("demo"), &temporary.path().join("job"));
        Self { temporary }
    }

    fn folder(&self) -> PathBuf {
        self.temporary.path().join("job")
    }

    fn text(&self, file: &str) -> String {
        fs::read_to_string(self.folder().join(file)).unwrap()
    }

    fn write(&self, file: &str, bytes: impl AsRef<[u8]>) {
        fs::write(self.folder().join(file), bytes).unwrap();
    }

    fn remove(&self, file: &str) {
        fs::remove_file(self.folder().join(file)).unwrap();
    }

    /// Replaces the first `old`, and says on which line it stood.
    fn replace(&self, file: &str, old: &str, new: &str) -> u64 {
        let text = self.text(file);
        let line = line_of(&text, old);
        self.write(file, text.replacen(old, new, 1));
        line
    }

    /// Adds lines at the end, and says where the first of them stands.
    fn append(&self, file: &str, lines: &str) -> u64 {
        let text = self.text(file);
        let line = text.lines().count() as u64 + 1;
        self.write(file, format!("{}\n{lines}\n", text.trim_end()));
        line
    }

    /// Adds a feature to the plan on a line of its own, and says its line and number.
    fn add_feature(&self, properties: &str, geometry: &str) -> (u64, usize) {
        let text = self.text("plan.geojson");
        let number = text.matches("\"type\": \"Feature\",").count() + 1;
        let line = text.lines().count() as u64 - 1;
        let body = text.trim_end().strip_suffix("\n]\n}").unwrap();
        self.write(
            "plan.geojson",
            format!("{body},\n{{\"type\": \"Feature\", \"properties\": {{{properties}}}, \"geometry\": {{{geometry}}}}}\n]\n}}\n"),
        );
        (line, number)
    }

    /// The faults with which `run` and `check` refuse the folder.
    fn refused(&self) -> Vec<Fault> {
        refused(&self.folder(), &self.temporary.path().join("out"))
    }

    /// The warnings of a folder that is read all the same.
    fn read_with_warnings(&self) -> Vec<Fault> {
        let output = tooth(&["check".as_ref(), self.folder().as_os_str(), "--json".as_ref()])
            .output()
            .unwrap();
        let answer = json(&output);
        assert_eq!(output.status.code(), Some(0), "{answer:#}");
        let warnings = faults(&answer, "warnings");
        let said = String::from_utf8(output.stderr).unwrap();
        assert_eq!(said.matches("warning: ").count(), warnings.len(), "{said}");
        warnings
    }
}

fn refused(folder: &Path, out: &Path) -> Vec<Fault> {
    let run = tooth(&["run".as_ref(), folder.as_os_str(), "--json".as_ref()])
        .arg("--out")
        .arg(out)
        .output()
        .unwrap();
    assert_eq!(run.status.code(), Some(2), "{}", String::from_utf8_lossy(&run.stderr));
    assert!(!out.exists(), "something was written to --out");
    let answer = json(&run);
    let keys: Vec<&String> = answer.as_object().unwrap().keys().collect();
    assert_eq!(keys, ["errors"]);
    let found = faults(&answer, "errors");
    assert!(!found.is_empty());
    let said = String::from_utf8(run.stderr).unwrap();
    assert!(said.contains("nothing was written"), "{said}");
    for fault in &found {
        assert!(said.contains(&fault.expected), "{fault:?} is not in {said}");
        assert!(!fault.expected.is_empty() && !fault.found.is_empty());
    }
    let check = tooth(&["check".as_ref(), folder.as_os_str(), "--json".as_ref()]).output().unwrap();
    assert_eq!(check.status.code(), Some(2));
    assert_eq!(check.stdout, run.stdout, "check and run disagree");
    found
}

fn faults(answer: &Value, list: &str) -> Vec<Fault> {
    let text = |value: &Value| value.as_str().unwrap().to_owned();
    answer[list]
        .as_array()
        .unwrap()
        .iter()
        .map(|fault| {
            let keys: Vec<&String> = fault.as_object().unwrap().keys().collect();
            assert_eq!(keys, ["file", "line", "field", "expected", "found"]);
            assert!(fault["line"].is_null() || fault["line"].as_u64().is_some_and(|n| n > 0));
            Fault {
                file: text(&fault["file"]),
                line: fault["line"].as_u64(),
                field: text(&fault["field"]),
                expected: text(&fault["expected"]),
                found: text(&fault["found"]),
            }
        })
        .collect()
}

fn line_of(text: &str, wanted: &str) -> u64 {
    let at = text.find(wanted);
    assert!(at.is_some(), "`{wanted}` is not in the file");
    text[..at.unwrap()].matches('\n').count() as u64 + 1
}

/// The fault at a place; there may be others.
fn at<'a>(faults: &'a [Fault], file: &str, line: Option<u64>, field: &str) -> &'a Fault {
    let found = faults.iter().find(|f| f.file == file && f.line == line && f.field == field);
    assert!(found.is_some(), "no fault at {file}:{line:?}: {field} among {faults:#?}");
    found.unwrap()
}

/// The fault at a place, and no other.
fn only<'a>(faults: &'a [Fault], file: &str, line: Option<u64>, field: &str) -> &'a Fault {
    let found = at(faults, file, line, field);
    assert_eq!(faults.len(), 1, "{faults:#?}");
    found
}

const PLAN: &str = "plan.geojson";
/// Feature C4 of the plan: a crack that no reading names.
const C4: &str = "[[43, 4], [49, 7], [53, 12]]";
/// Feature S3 of the plan: a spall that no reading names.
const S3: &str = "[[[70, 58], [72.5, 58], [72.5, 59.2], [70, 59.2], [70, 58]]]";

fn coordinates_of(job: &Job, line: u64) -> String {
    let number = line - line_of(&job.text(PLAN), "\"id\": \"gallery\"") + 1;
    format!("features[{number}].geometry.coordinates")
}

// The folder and its files.

#[test]
fn a_folder_that_is_not_there_is_refused() {
    let temporary = Temporary::new();
    let folder = temporary.path().join("nowhere");
    let faults = refused(&folder, &temporary.path().join("out"));
    let fault = only(&faults, &folder.display().to_string(), None, "");
    assert_eq!(fault.found, "nothing there");
}

#[test]
fn a_file_in_place_of_the_folder_is_refused() {
    let temporary = Temporary::new();
    let file = temporary.path().join("job.toml");
    fs::write(&file, "schema = 1\n").unwrap();
    let faults = refused(&file, &temporary.path().join("out"));
    let fault = only(&faults, &file.display().to_string(), None, "");
    assert_eq!(fault.found, "a file");
}

#[test]
fn an_empty_folder_names_all_three_files_that_it_lacks() {
    let temporary = Temporary::new();
    let folder = temporary.path().join("job");
    fs::create_dir(&folder).unwrap();
    let faults = refused(&folder, &temporary.path().join("out"));
    assert_eq!(faults.len(), 3, "{faults:#?}");
    for file in ["job.toml", "plan.geojson", "systems.toml"] {
        at(&faults, file, None, "");
    }
}

#[test]
fn a_missing_job_file_is_refused() {
    let job = Job::demo();
    job.remove("job.toml");
    only(&job.refused(), "job.toml", None, "");
}

#[test]
fn a_missing_plan_is_refused() {
    let job = Job::demo();
    job.remove(PLAN);
    only(&job.refused(), PLAN, None, "");
}

#[test]
fn a_missing_systems_file_is_refused() {
    let job = Job::demo();
    job.remove("systems.toml");
    at(&job.refused(), "systems.toml", None, "");
}

#[test]
fn a_folder_in_place_of_a_file_is_refused() {
    let job = Job::demo();
    job.remove("methods.toml");
    fs::create_dir(job.folder().join("methods.toml")).unwrap();
    only(&job.refused(), "methods.toml", None, "");
}

#[test]
fn bytes_that_are_no_utf_8_are_refused_with_their_line_in_every_file() {
    for file in ["job.toml", PLAN, "systems.toml", "methods.toml", "readings.csv", "forecast.csv"] {
        let job = Job::demo();
        let text = job.text(file);
        let mut bytes = text.clone().into_bytes();
        let third = text.match_indices('\n').nth(1).unwrap().0 + 1;
        bytes.insert(third, 0xff);
        job.write(file, bytes);
        let faults = job.refused();
        let fault = at(&faults, file, Some(3), "");
        assert_eq!(fault.found, "the byte 0xff");
    }
}

#[test]
fn a_file_above_the_limit_is_refused_and_not_read_whole() {
    for file in ["job.toml", PLAN, "methods.toml", "readings.csv"] {
        let job = Job::demo();
        let opened = fs::OpenOptions::new().write(true).open(job.folder().join(file)).unwrap();
        // Sparse: a gigabyte that takes no room on the disk.
        opened.set_len(1 << 30).unwrap();
        let faults = job.refused();
        let fault = only(&faults, file, None, "");
        assert_eq!(fault.expected, "at most 32 MiB");
    }
}

#[test]
fn a_photograph_above_the_limit_is_refused() {
    let job = Job::demo();
    let opened =
        fs::OpenOptions::new().write(true).open(job.folder().join("photos/oil.jpg")).unwrap();
    opened.set_len(1 << 30).unwrap();
    let line = line_of(&job.text(PLAN), "\"id\": \"N4\"");
    only(&job.refused(), PLAN, Some(line), "N4.file");
}

// Syntax.

#[test]
fn broken_toml_is_refused_at_its_line() {
    for (file, old, new) in [
        ("job.toml", "thickness = \"6 in\"", "thickness = \"6 in"),
        ("job.toml", "[constraints]", "[constraints"),
        ("systems.toml", "waste = \"8 %\"", "waste 8"),
        ("methods.toml", "hour = \"36 USD/h\"", "hour = = 36"),
    ] {
        let job = Job::demo();
        let line = job.replace(file, old, new);
        let faults = job.refused();
        let fault = at(&faults, file, Some(line), "");
        assert!(fault.expected.starts_with("TOML"), "{fault:?}");
    }
}

#[test]
fn a_toml_key_twice_is_refused_at_the_second() {
    let job = Job::demo();
    job.replace("job.toml", "year_cast = 1974", "year_cast = 1974\nyear_cast = 1975");
    let line = line_of(&job.text("job.toml"), "year_cast = 1975");
    only(&job.refused(), "job.toml", Some(line), "");
}

#[test]
fn broken_json_is_refused_at_its_line() {
    for (old, new) in [
        ("\"id\": \"K1\", ", "\"id\": \"K1\",, "),
        ("\"id\": \"K1\", ", "id: \"K1\", "),
        ("\"id\": \"K1\", ", "'id': \"K1\", "),
        ("\"id\": \"K1\", ", "// a remark\n\"id\": \"K1\", "),
    ] {
        let job = Job::demo();
        let line = job.replace(PLAN, old, new);
        let faults = job.refused();
        let fault = only(&faults, PLAN, Some(line), "");
        assert_eq!(fault.expected, "JSON");
    }
}

#[test]
fn json_that_breaks_off_is_refused() {
    let job = Job::demo();
    let text = job.text(PLAN);
    job.write(PLAN, &text[..text.len() / 2]);
    let faults = job.refused();
    assert_eq!(faults.len(), 1, "{faults:#?}");
    assert_eq!((faults[0].file.as_str(), faults[0].field.as_str()), (PLAN, ""));
    assert!(faults[0].line.is_some());
}

#[test]
fn an_empty_plan_file_is_refused() {
    let job = Job::demo();
    job.write(PLAN, "");
    only(&job.refused(), PLAN, Some(1), "");
}

#[test]
fn deeply_nested_json_is_refused() {
    let job = Job::demo();
    job.write(PLAN, "[".repeat(1_000_000));
    only(&job.refused(), PLAN, None, "");
    job.write(PLAN, format!("{}{}", "{\"a\":[".repeat(200_000), "]}".repeat(200_000)));
    only(&job.refused(), PLAN, None, "");
}

#[test]
fn deeply_nested_toml_is_refused() {
    for deep in [
        format!("deep = {}{}", "[".repeat(100_000), "]".repeat(100_000)),
        format!("a{} = 1", ".a".repeat(100_000)),
        format!("a = {}{}", "{ a = ".repeat(100_000), "}".repeat(100_000)),
    ] {
        let job = Job::demo();
        let text = job.text("job.toml");
        job.write("job.toml", format!("{deep}\n{text}"));
        // The parser gives no place where it only counts brackets.
        let faults = job.refused();
        assert!(faults.iter().any(|f| f.file == "job.toml" && f.field.is_empty()), "{faults:#?}");
    }
    let job = Job::demo();
    job.append("job.toml", &format!("[a{}]", ".a".repeat(100_000)));
    let faults = job.refused();
    assert_eq!(faults.len(), 1, "{faults:#?}");
    assert_eq!(faults[0].file, "job.toml");
}

#[test]
fn a_row_with_more_cells_than_the_heading_is_refused() {
    let job = Job::demo();
    let line = job.append(
        "readings.csv",
        "R900,water_drop,store,10,50,20,s,,,dropper,2026-09-12T09:00,M. Adeyemi,,one more",
    );
    only(&job.refused(), "readings.csv", Some(line), "");
}

#[test]
fn a_row_that_breaks_off_is_refused() {
    let job = Job::demo();
    let line = job.append("readings.csv", "R900,water_drop,store,10,50,20,s");
    let faults = job.refused();
    assert_eq!(faults.len(), 2, "{faults:#?}");
    at(&faults, "readings.csv", Some(line), "time");
    at(&faults, "readings.csv", Some(line), "by");
}

#[test]
fn a_quote_that_is_never_closed_is_refused() {
    let job = Job::demo();
    let line = job.append(
        "readings.csv",
        "R900,water_drop,store,10,50,20,s,,,\"dropper,2026-09-12T09:00,M. Adeyemi,",
    );
    let faults = job.refused();
    at(&faults, "readings.csv", Some(line), "time");
}

#[test]
fn a_heading_without_a_column_that_is_needed_is_refused() {
    let job = Job::demo();
    job.replace("readings.csv", "id,kind,zone", "id,kindd,zone");
    let faults = job.refused();
    at(&faults, "readings.csv", Some(1), "kindd");
    at(&faults, "readings.csv", Some(1), "kind");
}

#[test]
fn an_empty_table_of_readings_says_which_columns_it_lacks() {
    let job = Job::demo();
    job.write("readings.csv", "");
    let faults = job.refused();
    for column in ["id", "kind", "value", "time", "by"] {
        at(&faults, "readings.csv", Some(1), column);
    }
}

#[test]
fn a_byte_order_mark_before_the_heading_is_no_fault() {
    let job = Job::demo();
    let text = job.text("readings.csv");
    job.write("readings.csv", format!("\u{feff}{text}"));
    assert_eq!(job.read_with_warnings(), []);
}

// Units and numbers.

#[test]
fn a_thickness_in_psi_is_refused() {
    let job = Job::demo();
    let line = job.replace("job.toml", "\"6 in\"", "\"6 psi\"");
    let faults = job.refused();
    let fault = only(&faults, "job.toml", Some(line), "slab.thickness");
    assert_eq!(fault.found, "`6 psi`");
    assert!(fault.expected.contains("mm"), "{fault:?}");
}

#[test]
fn a_number_without_its_unit_is_refused() {
    for bare in ["\"6\"", "6", "6.0"] {
        let job = Job::demo();
        let line = job.replace("job.toml", "\"6 in\"", bare);
        only(&job.refused(), "job.toml", Some(line), "slab.thickness");
    }
    let job = Job::demo();
    let line = job.replace("systems.toml", "\"30 mil\"", "\"30\"");
    at(&job.refused(), "systems.toml", Some(line), "system[3].thickness");
    let job = Job::demo();
    let line = job.replace(
        PLAN,
        "\"depth\": \"4 mm\", \"note\": \"below",
        "\"depth\": 4, \"note\": \"below",
    );
    let number = coordinates_of(&job, line).replace("geometry.coordinates", "properties.depth");
    only(&job.refused(), PLAN, Some(line), &number);
}

#[test]
fn a_reading_without_its_unit_is_refused() {
    let job = Job::demo();
    let line = job.replace("readings.csv", "47,17,265,psi,", "47,17,265,,");
    only(&job.refused(), "readings.csv", Some(line), "unit");
}

#[test]
fn a_reading_in_the_unit_of_something_else_is_refused() {
    let job = Job::demo();
    let line = job.replace("readings.csv", "47,17,265,psi,", "47,17,265,mm,");
    only(&job.refused(), "readings.csv", Some(line), "value");
}

#[test]
fn a_value_out_of_range_is_refused_with_the_range() {
    let job = Job::demo();
    let line = job.replace("readings.csv", "10,14,64,F", "10,14,640,F");
    let faults = job.refused();
    let fault = only(&faults, "readings.csv", Some(line), "value");
    assert!(fault.expected.contains("from -60 °C to 90 °C"), "{fault:?}");
}

#[test]
fn numbers_that_are_not_finite_are_refused_in_readings() {
    for (field, old, new) in [
        ("value", "47,17,265,psi,", "47,17,NaN,psi,"),
        ("value", "47,17,265,psi,", "47,17,inf,psi,"),
        ("value", "47,17,265,psi,", "47,17,-inf,psi,"),
        ("value", "47,17,265,psi,", "47,17,1e999,psi,"),
        ("value", "47,17,265,psi,", "47,17,265/0,psi,"),
        ("x", "47,17,265,psi,", "NaN,17,265,psi,"),
        ("y", "47,17,265,psi,", "47,inf,265,psi,"),
        ("x", "47,17,265,psi,", "1e999,17,265,psi,"),
    ] {
        let job = Job::demo();
        let line = job.replace("readings.csv", old, new);
        only(&job.refused(), "readings.csv", Some(line), field);
    }
}

#[test]
fn numbers_that_are_not_finite_are_refused_in_the_forecast() {
    for cell in ["NaN", "inf", "1e999"] {
        let job = Job::demo();
        let line = job.replace("forecast.csv", "00,55.6,", &format!("00,{cell},"));
        only(&job.refused(), "forecast.csv", Some(line), "air_f");
    }
}

#[test]
fn numbers_that_are_not_finite_are_refused_in_the_plan() {
    let job = Job::demo();
    let line = job.replace(PLAN, C4, "[[43, 4], [49, 1e999], [53, 12]]");
    at(&job.refused(), PLAN, Some(line), &coordinates_of(&job, line));
    let job = Job::demo();
    let line = job.replace(PLAN, "\"north_degrees\": 24", "\"north_degrees\": -1e999");
    at(&job.refused(), PLAN, Some(line), "north_degrees");
    for word in ["NaN", "Infinity", "-Infinity"] {
        let job = Job::demo();
        let line = job.replace(PLAN, C4, &format!("[[43, 4], [49, {word}], [53, 12]]"));
        only(&job.refused(), PLAN, Some(line), "");
    }
}

#[test]
fn numbers_that_are_not_finite_are_refused_in_the_job() {
    for number in ["1e999", "nan", "inf", "-inf"] {
        let job = Job::demo();
        let line = job.replace(
            "job.toml",
            "hidden_growth_sigma = 0.30",
            &format!("hidden_growth_sigma = {number}"),
        );
        at(&job.refused(), "job.toml", Some(line), "uncertainty.hidden_growth_sigma");
        let job = Job::demo();
        let line = job.replace("job.toml", "\"6 in\"", &format!("\"{number} in\""));
        only(&job.refused(), "job.toml", Some(line), "slab.thickness");
    }
}

// The plan.

#[test]
fn an_outline_that_crosses_itself_is_refused() {
    let job = Job::demo();
    let line =
        job.replace(PLAN, S3, "[[[70, 58], [72.5, 59.2], [72.5, 58], [70, 59.2], [70, 58]]]");
    let faults = job.refused();
    let fault = only(&faults, PLAN, Some(line), &coordinates_of(&job, line));
    assert!(fault.found.contains("x 71.250, y 58.600 ft"), "{fault:?}");
}

#[test]
fn a_zone_that_crosses_itself_is_refused() {
    let job = Job::demo();
    let line = job.replace(
        PLAN,
        "[[[68, 0], [96, 0], [96, 24], [68, 24], [68, 0]]]",
        "[[[68, 0], [96, 24], [96, 0], [68, 24], [68, 0]]]",
    );
    at(&job.refused(), PLAN, Some(line), &coordinates_of(&job, line));
}

#[test]
fn an_outline_that_does_not_close_is_refused() {
    let job = Job::demo();
    let line = job.replace(PLAN, S3, "[[[70, 58], [72.5, 58], [72.5, 59.2], [70, 59.2]]]");
    let faults = job.refused();
    let fault = only(&faults, PLAN, Some(line), &coordinates_of(&job, line));
    assert!(fault.expected.contains("closed"), "{fault:?}");
}

#[test]
fn an_outline_without_area_is_refused() {
    for flat in [
        "[[[70, 58], [72.5, 58], [70, 58]]]",
        "[[[70, 58], [70, 58], [70, 58], [70, 58]]]",
        "[[[70, 58], [72, 58], [71, 58], [70, 58]]]",
        "[[]]",
    ] {
        let job = Job::demo();
        let line = job.replace(PLAN, S3, flat);
        only(&job.refused(), PLAN, Some(line), &coordinates_of(&job, line));
    }
}

#[test]
fn a_place_in_degrees_of_the_other_kind_of_map_is_refused_by_its_size() {
    let job = Job::demo();
    let line = job.replace(PLAN, C4, "[[43, 4], [4900000, 7], [53, 12]]");
    only(&job.refused(), PLAN, Some(line), &coordinates_of(&job, line));
}

#[test]
fn the_line_is_that_of_the_coordinates_where_a_feature_takes_many_lines() {
    let job = Job::demo();
    let spread = "[[43, 4],\n [49, 7],\n [53, \"twelve\"]]";
    let line = job.replace(PLAN, C4, spread);
    let field = coordinates_of(&job, line);
    only(&job.refused(), PLAN, Some(line + 2), &field);
}

#[test]
fn zones_that_overlap_are_refused() {
    let job = Job::demo();
    let line = job.replace(
        PLAN,
        "[[[0, 36], [40, 36], [40, 60], [0, 60], [0, 36]]]",
        "[[[0, 36], [44, 36], [44, 60], [0, 60], [0, 36]]]",
    );
    let workshop = line_of(&job.text(PLAN), "\"id\": \"workshop\"");
    assert!(workshop < line);
    let faults = job.refused();
    let fault = only(&faults, PLAN, Some(line), "store.geometry");
    // 4 ft × 24 ft
    assert!(fault.found.contains("8.919 m²"), "{fault:?}");
    assert!(fault.expected.contains("workshop"), "{fault:?}");
}

#[test]
fn a_plan_without_a_zone_is_refused() {
    for features in [
        "",
        "{\"type\": \"Feature\", \"properties\": {\"id\": \"W1\", \"kind\": \"wall\"}, \"geometry\": {\"type\": \"LineString\", \"coordinates\": [[0, 0], [9, 0]]}}",
    ] {
        let job = Job::demo();
        job.write(PLAN, format!("{{\n\"type\": \"FeatureCollection\",\n\"units\": \"ft\",\n\"features\": [{features}]\n}}\n"));
        at(&job.refused(), PLAN, Some(4), "features");
    }
}

#[test]
fn a_plan_that_does_not_say_its_unit_is_refused() {
    let job = Job::demo();
    job.replace(PLAN, "\"units\": \"ft\",\n", "");
    only(&job.refused(), PLAN, Some(1), "units");
    let job = Job::demo();
    let line = job.replace(PLAN, "\"units\": \"ft\"", "\"units\": \"degrees\"");
    only(&job.refused(), PLAN, Some(line), "units");
}

// Names.

#[test]
fn ids_twice_are_refused_at_the_second() {
    let job = Job::demo();
    let (line, number) = job.add_feature(
        "\"id\": \"store\", \"kind\": \"zone\", \"name\": \"Second store\", \"system\": \"floor-sealer\"",
        "\"type\": \"Polygon\", \"coordinates\": [[[200, 0], [210, 0], [210, 9], [200, 9], [200, 0]]]",
    );
    only(&job.refused(), PLAN, Some(line), &format!("features[{number}].properties.id"));

    let job = Job::demo();
    let (line, number) = job.add_feature(
        "\"id\": \"C4\", \"kind\": \"wall\"",
        "\"type\": \"LineString\", \"coordinates\": [[0, 0], [9, 0]]",
    );
    only(&job.refused(), PLAN, Some(line), &format!("features[{number}].properties.id"));

    let job = Job::demo();
    let line = job.replace("readings.csv", "R002,", "R001,");
    only(&job.refused(), "readings.csv", Some(line), "id");

    let job = Job::demo();
    job.append(
        "systems.toml",
        "[[system]]\nid = \"stain\"\nname = \"Again\"\nclass = \"sealer\"\nsheet = \"invented\"\nthickness = \"2 mil\"\nsee_through = true",
    );
    let line =
        job.text("systems.toml").lines().position(|l| l == "name = \"Again\"").unwrap() as u64;
    only(&job.refused(), "systems.toml", Some(line), "system[6].id");
}

#[test]
fn ids_with_strange_letters_are_refused() {
    for id in ["two words", "../x", "a/b", "", "a\\u0000b"] {
        let job = Job::demo();
        let line = job.replace(PLAN, "\"id\": \"K1\"", &format!("\"id\": \"{id}\""));
        let field = coordinates_of(&job, line).replace("geometry.coordinates", "properties.id");
        at(&job.refused(), PLAN, Some(line), &field);
    }
}

#[test]
fn a_zone_with_a_system_that_is_not_there_is_refused() {
    let job = Job::demo();
    let line = job.replace(PLAN, "\"system\": \"floor-sealer\"", "\"system\": \"floor-seeler\"");
    let faults = job.refused();
    let fault = only(&faults, PLAN, Some(line), "store.system");
    assert!(fault.expected.contains("floor-sealer"), "{fault:?}");
}

#[test]
fn fields_that_nobody_knows_are_refused() {
    let job = Job::demo();
    job.replace("job.toml", "[slab]", "[slab]\ncolour = \"grey\"");
    let line = line_of(&job.text("job.toml"), "colour");
    let faults = job.refused();
    let fault = only(&faults, "job.toml", Some(line), "slab.colour");
    assert!(fault.expected.contains("thickness"), "{fault:?}");

    let job = Job::demo();
    job.replace("job.toml", "schema = 1", "schema = 1\nchef = \"x\"");
    let line = line_of(&job.text("job.toml"), "chef");
    only(&job.refused(), "job.toml", Some(line), "chef");

    let job = Job::demo();
    let line =
        job.replace("systems.toml", "widest_crack = \"1/32 in\"", "widest_cack = \"1/32 in\"");
    only(&job.refused(), "systems.toml", Some(line), "system[2].widest_cack");

    let job = Job::demo();
    let line = job.replace("methods.toml", "hour = \"36 USD/h\"", "hours = \"36 USD/h\"");
    only(&job.refused(), "methods.toml", Some(line), "machine[1].hours");

    let job = Job::demo();
    let line =
        job.replace(PLAN, "\"depth\": \"3/4 in\", ", "\"depth\": \"3/4 in\", \"dept\": \"1 in\", ");
    let field = coordinates_of(&job, line).replace("geometry.coordinates", "properties.dept");
    only(&job.refused(), PLAN, Some(line), &field);
}

#[test]
fn kinds_that_nobody_knows_are_refused() {
    let job = Job::demo();
    let line = job.replace(PLAN, "\"kind\": \"ghost\"", "\"kind\": \"gost\"");
    let field = coordinates_of(&job, line).replace("geometry.coordinates", "properties.kind");
    at(&job.refused(), PLAN, Some(line), &field);

    let job = Job::demo();
    let line = job.replace("readings.csv", "R016,water_drop", "R016,water_drip");
    let faults = job.refused();
    let fault = only(&faults, "readings.csv", Some(line), "kind");
    assert!(fault.expected.contains("water_drop"), "{fault:?}");

    let job = Job::demo();
    let line = job.replace("systems.toml", "class = \"thin_film\"", "class = \"thinfilm\"");
    at(&job.refused(), "systems.toml", Some(line), "system[5].class");

    let job = Job::demo();
    let line = job.replace("job.toml", "support = \"on_grade\"", "support = \"on grade\"");
    only(&job.refused(), "job.toml", Some(line), "slab.support");
}

#[test]
fn a_reading_that_names_an_unknown_zone_or_subject_is_refused() {
    let job = Job::demo();
    let line = job.replace("readings.csv", "R030,water_drop,wash-bay", "R030,water_drop,washbay");
    only(&job.refused(), "readings.csv", Some(line), "R030.zone");
    let job = Job::demo();
    let line = job.replace("readings.csv", "1.4,mm,,C2,", "1.4,mm,,C22,");
    only(&job.refused(), "readings.csv", Some(line), "R083.subject");
    let job = Job::demo();
    let line = job.replace("readings.csv", "1.4,mm,,C2,", "1.4,mm,,cafe,");
    let refused = job.refused();
    let told = only(&refused, "readings.csv", Some(line), "R083.subject");
    assert!(told.expected.contains("under `zone`"), "{told:?}");
    // A gauge that names nothing is kept, and told.
    let job = Job::demo();
    let line = job.replace("readings.csv", "1.4,mm,,C2,", "1.4,mm,,,");
    at(&job.read_with_warnings(), "readings.csv", Some(line), "R083.zone");
}

#[test]
fn zones_of_a_locate_consent_or_overrule_must_be_on_the_plan() {
    let job = Job::demo();
    let line = job.replace(
        "job.toml",
        "[\"gallery\", \"workshop\", \"wash-bay\"]",
        "[\"gallery\", \"wrkshop\", \"wash-bay\"]",
    );
    let faults = job.refused();
    let fault = only(&faults, "job.toml", Some(line), "locate[1].zones");
    assert_eq!(fault.found, "`wrkshop`");
    let job = Job::demo();
    let line = job.replace("job.toml", "zones = [\"gallery\"]", "zones = [\"gallerie\"]");
    only(&job.refused(), "job.toml", Some(line), "consent[1].zones");
    let job = Job::demo();
    let line = job.append("job.toml", "[[overrule]]\nzone = \"attic\"\nfinding = \"film\"\nreason = \"x\"\nby = \"y\"\ndate = 2026-09-09");
    only(&job.refused(), "job.toml", Some(line + 1), "overrule[1].zone");
}

#[test]
fn features_of_a_drain_treatment_or_overrule_must_be_on_the_plan() {
    let treated = |feature: &str| {
        format!(
            "[[treatment]]\nfeature = \"{feature}\"\ntreatment = \"stitch\"\nby = \"x\"\nreason = \"y\""
        )
    };
    for (feature, found) in [
        ("C9", "`C9`"),
        ("W1", "`W1`, of the kind wall"),
        ("K5", "`K5`, of the kind obstacle"),
        ("gallery", "`gallery`"),
    ] {
        let job = Job::demo();
        let line = job.append("job.toml", &treated(feature));
        let faults = job.refused();
        let fault = only(&faults, "job.toml", Some(line + 1), "treatment[1].feature");
        assert_eq!((&*fault.expected, &*fault.found), ("a crack or joint of the plan", found));
    }
    let drained = "[[drainage]]\nzone = \"wash-bay\"\ndrain = \"K55\"\nfall = \"1 %\"";
    let job = Job::demo();
    let line = job.append("job.toml", drained);
    only(&job.refused(), "job.toml", Some(line + 2), "drainage[1].drain");
    let overruled = "[[overrule]]\nzone = \"gallery\"\nfeature = \"C0\"\nfinding = \"film\"\nreason = \"x\"\nby = \"y\"\ndate = 2026-09-09";
    let job = Job::demo();
    let line = job.append("job.toml", overruled);
    only(&job.refused(), "job.toml", Some(line + 2), "overrule[1].feature");
}

fn film_decided(features: &str, way: &str, date: &str) -> String {
    format!(
        "[[film_decision]]\nzone = \"gallery\"\nfeatures = [{features}]\nway = \"{way}\"\n\
         by = \"x\"\ndate = {date}\nreason = \"y\""
    )
}

#[test]
fn a_decision_on_films_names_films_of_its_area() {
    for (features, zone, found) in [
        ("\"C1\"", "gallery", "`C1`, of the kind crack"),
        ("\"J0\"", "gallery", "`J0`"),
        ("\"F1\"", "cafe", "`F1`, a film that does not lie there"),
    ] {
        let job = Job::demo();
        let decided = film_decided(features, "recoat_over", "2026-09-09");
        let line = job.append("job.toml", &decided.replace("gallery", zone));
        let faults = job.refused();
        let fault = only(&faults, "job.toml", Some(line + 2), "film_decision[1].features");
        let expected = format!("a film in the area `{zone}`");
        assert_eq!((&*fault.expected, &*fault.found), (&*expected, found));
    }
}

#[test]
fn decisions_that_stand_against_each_other_are_both_named() {
    let warned = |decisions: &[String]| {
        let job = Job::demo();
        let before = job.read_with_warnings().len();
        for decision in decisions {
            job.append("job.toml", decision);
        }
        let mut warnings = job.read_with_warnings();
        warnings.retain(|warning| warning.field == "film_decision");
        assert_eq!(job.read_with_warnings().len(), before + warnings.len());
        warnings
    };
    let over = film_decided("\"F1\"", "recoat_over", "2026-09-11");
    let soft = |day: &str| film_decided("\"F1\"", "rewet_and_recoat", day);
    assert!(warned(&[over.clone(), over.clone()]).is_empty());
    for (day, told) in [("2026-09-12", "which counts"), ("2026-09-11", "nobody can say")] {
        let [warning] = warned(&[over.clone(), soft(day)]).try_into().unwrap();
        let found = &warning.found;
        assert!(found.contains("coat over it (x, 2026-09-11)"), "{found}");
        assert!(found.contains("soften") && found.contains(told), "{found}");
        assert!(warning.line.is_some());
    }
    let [warning] =
        warned(&[film_decided("\"F1\"", "recoat_over", "2062-09-11")]).try_into().unwrap();
    assert!(warning.found.contains("2062"), "{warning:?}");
    let treated = |treatment: &str| {
        format!(
            "[[treatment]]\nfeature = \"C1\"\ntreatment = \"{treatment}\"\nby = \"x\"\nreason = \"y\""
        )
    };
    let job = Job::demo();
    job.append("job.toml", &treated("stitch"));
    let line = job.append("job.toml", &treated("leave"));
    let faults = job.refused();
    let fault = only(&faults, "job.toml", Some(line + 1), "treatment[2].feature");
    assert!(fault.found.contains("stitch") && fault.found.contains("leave"), "{fault:?}");
}

#[test]
fn a_machine_that_no_catalogue_holds_is_refused() {
    let job = Job::demo();
    let line = job.replace("job.toml", "\"hand_grinder\"", "\"hand_grindr\"");
    only(&job.refused(), "job.toml", Some(line), "machines_owned");
}

#[test]
fn a_method_like_nothing_in_the_catalogue_is_refused() {
    let job = Job::demo();
    let line = job.append("methods.toml", "[[method]]\nid = \"own\"\nlike = \"sanding\"");
    only(&job.refused(), "methods.toml", Some(line + 2), "method[2].like");
}

// Photographs.

#[test]
fn a_photograph_that_is_missing_is_refused() {
    let job = Job::demo();
    job.remove("photos/beads.jpg");
    let line = line_of(&job.text(PLAN), "\"id\": \"N2\"");
    only(&job.refused(), PLAN, Some(line), "N2.file");
}

#[test]
fn a_photograph_outside_its_folder_is_refused() {
    for path in ["../job.toml", "/etc/hostname", "sub/beads.jpg", "..", ".", "..\\\\job.toml"] {
        let job = Job::demo();
        let line = job.replace(PLAN, "\"file\": \"beads.jpg\"", &format!("\"file\": \"{path}\""));
        only(&job.refused(), PLAN, Some(line), "N2.file");
    }
}

#[test]
fn hidden_characters_are_refused_wherever_a_person_would_read_them() {
    for hidden in ["\\u0000", "\\u0007", "\\u001b", "\\u202e", "\\ufffe"] {
        let job = Job::demo();
        let line =
            job.replace(PLAN, "\"name\": \"Gallery\"", &format!("\"name\": \"Gal{hidden}lery\""));
        let faults = job.refused();
        let fault = faults.iter().find(|fault| fault.line == Some(line)).unwrap();
        assert_eq!(fault.expected, "a text without hidden characters");
    }
}

#[test]
fn limits_out_of_order_or_of_nothing_are_refused() {
    for (limit, field) in [
        ("light_scaling = \"12 mm\"", "limits.light_scaling"),
        ("wide_crack_width = \"0.5 mm\"", "limits.wide_crack_width"),
        ("repair_crack_width = \"30 mm\"", "limits.repair_crack_width"),
        ("gauge_interval = \"0 h\"", "limits.gauge_interval"),
        ("sounded_share = \"0 %\"", "limits.sounded_share"),
    ] {
        let job = Job::demo();
        let line = job.append("job.toml", &format!("[limits]\n{limit}"));
        only(&job.refused(), "job.toml", Some(line + 1), field);
    }
}

#[test]
fn a_rate_of_a_method_that_is_none_is_refused() {
    let job = Job::demo();
    job.append(
        "readings.csv",
        "R999,production_rate,gallery,,,210,ft2/h,,,floor_grindng,2026-09-11T08:10,M. Adeyemi,",
    );
    let faults = job.refused();
    let fault = only(&faults, "readings.csv", None, "instrument");
    assert!(fault.found.contains("floor_grindng"), "{}", fault.found);
}

// Times, money, chips.

#[test]
fn a_time_with_a_zone_is_refused() {
    for time in [
        "2026-09-10T08:10+02:00",
        "2026-09-10T08:10-0500",
        "2026-09-10T08:10Z",
        "2026-09-10T08:10z",
        "2026-09-10 08:10 +02",
    ] {
        let job = Job::demo();
        let line = job.replace("readings.csv", "2026-09-10T08:10", time);
        only(&job.refused(), "readings.csv", Some(line), "time");
    }
}

#[test]
fn a_time_that_does_not_exist_is_refused() {
    for time in ["2026-02-30T08:10", "2026-09-10T25:10", "10 Sept 2026", "08:10"] {
        let job = Job::demo();
        let line = job.replace("readings.csv", "2026-09-10T08:10", time);
        only(&job.refused(), "readings.csv", Some(line), "time");
    }
}

#[test]
fn a_forecast_out_of_order_is_refused() {
    let job = Job::demo();
    let line = job.replace("forecast.csv", "2026-09-21T03:00", "2026-09-21T01:30");
    only(&job.refused(), "forecast.csv", Some(line), "time");
}

#[test]
fn money_in_another_currency_is_refused() {
    let job = Job::demo();
    let line = job.replace("job.toml", "\"58 USD/h\"", "\"58 EUR/h\"");
    at(&job.refused(), "job.toml", Some(line), "rates.labour");
    let job = Job::demo();
    let line = job.replace("methods.toml", "\"210 USD\"", "\"210 EUR\"");
    only(&job.refused(), "methods.toml", Some(line), "machine[1].mobilisation");
    let job = Job::demo();
    let line = job.replace("methods.toml", "\"0.12 USD/ft2\"", "\"0.12 CAD/ft2\"");
    only(&job.refused(), "methods.toml", Some(line), "method[1].consumables");
}

#[test]
fn money_that_is_negative_or_bare_or_not_finite_is_refused() {
    for money in [
        "-58 USD/h",
        "58",
        "58 USD",
        "NaN USD/h",
        "inf USD/h",
        "1e999 USD/h",
        "USD 58/h",
        "58 USD/m2",
    ] {
        let job = Job::demo();
        let line = job.replace("job.toml", "\"58 USD/h\"", &format!("\"{money}\""));
        at(&job.refused(), "job.toml", Some(line), "rates.labour");
    }
    let job = Job::demo();
    let line = job.replace("methods.toml", "\"210 USD\"", "\"-210 USD\"");
    only(&job.refused(), "methods.toml", Some(line), "machine[1].mobilisation");
}

#[test]
fn a_share_above_the_whole_is_refused() {
    let job = Job::demo();
    let line = job.replace("job.toml", "margin = \"12 %\"", "margin = \"120 %\"");
    at(&job.refused(), "job.toml", Some(line), "money.margin");
}

#[test]
fn a_chip_beyond_the_ten_is_refused() {
    for chip in ["11", "0", "-1", "2.5", "two"] {
        let job = Job::demo();
        let line = job.replace(
            "readings.csv",
            "R033,chip_rating,gallery,10,4,1,",
            &format!("R033,chip_rating,gallery,10,4,{chip},"),
        );
        only(&job.refused(), "readings.csv", Some(line), "value");
    }
    let job = Job::demo();
    let line = job.replace("systems.toml", "profile = [5, 7]", "profile = [5, 11]");
    only(&job.refused(), "systems.toml", Some(line), "system[4].profile");
    let job = Job::demo();
    let line = job.replace("systems.toml", "profile = [5, 7]", "profile = [7, 5]");
    only(&job.refused(), "systems.toml", Some(line), "system[4].profile");
}

#[test]
fn half_a_place_is_refused() {
    let job = Job::demo();
    let line = job.replace("readings.csv", "47,17,265,psi,", "47,,265,psi,");
    only(&job.refused(), "readings.csv", Some(line), "y");
}

// Many at once.

#[test]
fn all_faults_are_reported_together_in_the_order_of_files_and_lines() {
    let job = Job::demo();
    let thickness = job.replace("job.toml", "\"6 in\"", "\"6 psi\"");
    let door = job.replace("job.toml", "\"40 in\"", "\"40\"");
    let rate = job.replace("methods.toml", "\"0.12 USD/ft2\"", "\"-0.12 USD/ft2\"");
    let spall =
        job.replace(PLAN, S3, "[[[70, 58], [72.5, 59.2], [72.5, 58], [70, 59.2], [70, 58]]]");
    let crack = job.replace(PLAN, "\"width\": \"1/32 in\"", "\"width\": \"1/32\"");
    let chip = job.replace(
        "readings.csv",
        "R033,chip_rating,gallery,10,4,1,",
        "R033,chip_rating,gallery,10,4,11,",
    );
    let time = job.replace(
        "readings.csv",
        "R090,film_thickness,gallery,5,30,3,mil,,F1,chip under a loupe,2026-09-10T09:50",
        "R090,film_thickness,gallery,5,30,3,mil,,F1,chip under a loupe,2026-09-10T09:50Z",
    );
    let system = job.replace("systems.toml", "waste = \"10 %\"", "waste = \"10\"");
    let faults = job.refused();
    let places: Vec<(&str, Option<u64>)> =
        faults.iter().map(|f| (f.file.as_str(), f.line)).collect();
    assert!(thickness < door && crack < spall && chip < time);
    assert_eq!(
        places,
        [
            ("job.toml", Some(thickness)),
            ("job.toml", Some(door)),
            ("methods.toml", Some(rate)),
            (PLAN, Some(crack)),
            (PLAN, Some(spall)),
            ("readings.csv", Some(chip)),
            ("readings.csv", Some(time)),
            ("systems.toml", Some(system)),
        ],
        "{faults:#?}"
    );
}

#[test]
fn a_plain_message_names_the_place_where_no_json_is_asked_for() {
    let job = Job::demo();
    let line = job.replace("job.toml", "\"6 in\"", "\"6 psi\"");
    let output = tooth(&["check".as_ref(), job.folder().as_os_str()]).output().unwrap();
    assert_eq!(output.status.code(), Some(2));
    assert!(output.stdout.is_empty());
    let said = String::from_utf8(output.stderr).unwrap();
    assert!(said.contains(&format!("job.toml:{line}: slab.thickness: expected ")), "{said}");
}

// What is only a warning.

#[test]
fn the_demo_is_sound_without_a_warning_though_its_zones_touch() {
    assert_eq!(Job::demo().read_with_warnings(), []);
}

#[test]
fn a_reading_outside_every_zone_is_a_warning() {
    let job = Job::demo();
    let line = job.append(
        "readings.csv",
        "R900,water_drop,,400,500,20,s,,,dropper,2026-09-12T09:00,M. Adeyemi,",
    );
    let warnings = job.read_with_warnings();
    only(&warnings, "readings.csv", Some(line), "R900.x");
}

#[test]
fn a_reading_that_belongs_to_no_place_is_a_warning() {
    let job = Job::demo();
    let line = job
        .append("readings.csv", "R900,water_drop,,,,20,s,,,dropper,2026-09-12T09:00,M. Adeyemi,");
    only(&job.read_with_warnings(), "readings.csv", Some(line), "R900.zone");
}

#[test]
fn a_reading_that_lies_in_another_zone_than_it_names_is_a_warning() {
    let job = Job::demo();
    let line = job.append(
        "readings.csv",
        "R900,water_drop,store,50,10,20,s,,,dropper,2026-09-12T09:00,M. Adeyemi,",
    );
    only(&job.read_with_warnings(), "readings.csv", Some(line), "R900.zone");
}

#[test]
fn a_feature_outside_all_zones_is_a_warning() {
    let job = Job::demo();
    let (line, _) = job.add_feature(
        "\"id\": \"C90\", \"kind\": \"crack\", \"width\": \"1 mm\"",
        "\"type\": \"LineString\", \"coordinates\": [[300, 300], [310, 300]]",
    );
    only(&job.read_with_warnings(), PLAN, Some(line), "C90.geometry");
}

#[test]
fn no_readings_at_all_is_a_warning() {
    let job = Job::demo();
    job.remove("readings.csv");
    only(&job.read_with_warnings(), "readings.csv", None, "");
}

#[test]
fn a_crack_that_nobody_in_particular_calls_dormant_is_asked_about() {
    let job = Job::demo();
    let text = job.text("readings.csv");
    let kept: Vec<&str> = text.lines().filter(|line| !line.contains("crack_gauge")).collect();
    job.write("readings.csv", kept.join("\n"));
    let line = line_of(&job.text(PLAN), "\"id\": \"C1\"");
    at(&job.read_with_warnings(), PLAN, Some(line), "C1.movement");
}

#[test]
fn zones_that_overlap_by_the_rounding_of_a_drawing_are_no_fault() {
    let job = Job::demo();
    // A thousandth of a foot over 24 ft.
    job.replace(
        PLAN,
        "[[[0, 36], [40, 36], [40, 60], [0, 60], [0, 36]]]",
        "[[[0, 36], [40.001, 36], [40.001, 60], [0, 60], [0, 36]]]",
    );
    assert_eq!(job.read_with_warnings(), []);
}

#[test]
fn a_folder_with_warnings_still_gets_its_answer() {
    let job = Job::demo();
    job.append(
        "readings.csv",
        "R900,water_drop,,400,500,20,s,,,dropper,2026-09-12T09:00,M. Adeyemi,",
    );
    let output =
        tooth(&["assess".as_ref(), job.folder().as_os_str(), "--json".as_ref()]).output().unwrap();
    assert_eq!(output.status.code(), Some(0));
    assert_eq!(json(&output)["zones"].as_array().unwrap().len(), 5);
    assert!(String::from_utf8(output.stderr).unwrap().contains("warning: readings.csv:"));
}

#[test]
fn money_with_a_decimal_comma_is_refused_and_not_read_a_hundredfold() {
    for money in ["58,50 USD/h", "5,8 USD/h", "1,23,456 USD/h", "58, USD/h"] {
        let job = Job::demo();
        let line = job.replace("job.toml", "\"58 USD/h\"", &format!("\"{money}\""));
        at(&job.refused(), "job.toml", Some(line), "rates.labour");
    }
}

#[test]
fn a_time_with_the_name_of_a_zone_is_refused() {
    let job = Job::demo();
    let line = job.replace("readings.csv", "2026-09-10T08:10", "2026-09-10T08:10[Europe/Paris]");
    only(&job.refused(), "readings.csv", Some(line), "time");
}

#[test]
fn a_date_with_a_time_and_an_offset_is_refused() {
    let job = Job::demo();
    let line = job.replace("job.toml", "date = 2026-09-09", "date = 2026-09-09T23:30:00-05:00");
    only(&job.refused(), "job.toml", Some(line), "locate[1].date");
}

#[test]
fn a_photograph_that_is_no_picture_is_refused() {
    for bytes in [&b"no picture"[..], b"", b"\xff\xd8\xff\xe0 broken off"] {
        let job = Job::demo();
        job.write("photos/oil.jpg", bytes);
        let line = line_of(&job.text(PLAN), "\"id\": \"N4\"");
        only(&job.refused(), PLAN, Some(line), "N4.file");
    }
}

#[test]
fn a_folder_in_place_of_a_photograph_is_refused_by_check_too() {
    let job = Job::demo();
    job.remove("photos/oil.jpg");
    fs::create_dir(job.folder().join("photos/oil.jpg")).unwrap();
    let line = line_of(&job.text(PLAN), "\"id\": \"N4\"");
    only(&job.refused(), PLAN, Some(line), "N4.file");
}

#[test]
fn an_object_with_very_many_members_is_refused_at_once() {
    let job = Job::demo();
    let members: Vec<String> = (0..200_000).map(|i| format!("\"k{i}\": 1")).collect();
    job.write(PLAN, format!("{{{}}}", members.join(",\n")));
    let began = std::time::Instant::now();
    job.refused();
    assert!(began.elapsed().as_secs() < 20, "{:?}", began.elapsed());
}

#[test]
fn systems_that_cannot_be_read_are_one_fault() {
    let job = Job::demo();
    job.remove("systems.toml");
    only(&job.refused(), "systems.toml", None, "");
    let job = Job::demo();
    let line = job.replace("systems.toml", "\"30 mil\"", "\"30\"");
    only(&job.refused(), "systems.toml", Some(line), "system[3].thickness");
}

#[test]
fn a_zone_with_a_bad_outline_is_one_fault() {
    let job = Job::demo();
    let line = job.replace(
        PLAN,
        "[[[68, 0], [96, 0], [96, 24], [68, 24], [68, 0]]]",
        "[[[68, 0], [96, 24], [96, 0], [68, 24], [68, 0]]]",
    );
    let field = coordinates_of(&job, line);
    only(&job.refused(), PLAN, Some(line), &field);
}

#[test]
fn an_unknown_kind_is_one_fault() {
    let job = Job::demo();
    let line = job.replace(
        PLAN,
        "\"kind\": \"spall\", \"depth\": \"1 in\"",
        "\"kind\": \"spal\", \"depth\": \"1 in\"",
    );
    let field = coordinates_of(&job, line).replace("geometry.coordinates", "properties.kind");
    only(&job.refused(), PLAN, Some(line), &field);
}

#[test]
fn a_number_that_is_not_finite_is_one_fault_with_its_field() {
    let job = Job::demo();
    let line = job.replace(PLAN, "\"north_degrees\": 24", "\"north_degrees\": 1e999");
    only(&job.refused(), PLAN, Some(line), "north_degrees");
    let job = Job::demo();
    let line = job.replace("job.toml", "hidden_growth_sigma = 0.30", "hidden_growth_sigma = 1e999");
    only(&job.refused(), "job.toml", Some(line), "uncertainty.hidden_growth_sigma");
}

#[test]
fn a_job_file_that_lacks_something_hides_no_fault_of_the_other_files() {
    let job = Job::demo();
    let labour = job.replace("job.toml", "\"58 USD/h\"", "\"58\"");
    let waste = job.replace("systems.toml", "waste = \"10 %\"", "waste = \"10\"");
    let hour = job.replace("methods.toml", "\"36 USD/h\"", "\"36\"");
    let zone = job.replace("readings.csv", "R030,water_drop,wash-bay", "R030,water_drop,washbay");
    let faults = job.refused();
    at(&faults, "job.toml", Some(labour), "rates.labour");
    at(&faults, "systems.toml", Some(waste), "system[4].material.waste");
    at(&faults, "methods.toml", Some(hour), "machine[1].hour");
    at(&faults, "readings.csv", Some(zone), "R030.zone");
}

#[test]
fn an_overrule_that_can_have_no_effect_is_not_silent() {
    let job = Job::demo();
    let line = job.append("job.toml", "[[overrule]]\nzone = \"store\"\nfinding = \"filmm\"\nreason = \"x\"\nby = \"y\"\ndate = 2026-09-09");
    at(&job.refused(), "job.toml", Some(line + 2), "overrule[1].finding");
}

#[test]
fn a_mark_that_lies_partly_outside_all_areas_is_asked_about() {
    let job = Job::demo();
    let (line, _) = job.add_feature(
        r#""id": "off", "kind": "stain", "stain": "oil", "depth": "1 mm""#,
        r#""type": "Polygon", "coordinates": [[[-4, 10], [4, 10], [4, 14], [-4, 14], [-4, 10]]]"#,
    );
    let told = job.read_with_warnings();
    let told = at(&told, "plan.geojson", Some(line), "off.geometry");
    assert!(told.found.contains("16 ft²") && told.found.contains("32 ft²"), "{told:?}");
}

/// Words that people write for a unit or a kind mean what they mean.
#[test]
fn a_control_joint_and_inches_in_full_are_understood() {
    let job = Job::demo();
    job.replace("plan.geojson", r#""joint": "contraction""#, r#""joint": "control""#);
    job.replace("plan.geojson", r#""width": "1.4 mm""#, r#""width": "1/16 inches""#);
    job.replace("plan.geojson", r#""depth": "3/4 in""#, r#""depth": "0.0625 feet""#);
    assert!(job.read_with_warnings().is_empty());
}

#[test]
fn a_decimal_comma_is_named_and_draws_no_other_fault() {
    let job = Job::demo();
    let line = job.replace("plan.geojson", r#""width": "1.4 mm""#, r#""width": "1,4 mm""#);
    let refused = job.refused();
    assert!(refused.len() == 1 && refused[0].line == Some(line), "{refused:?}");
    assert!(refused[0].expected.contains("without a comma"), "{refused:?}");
}

/// What counts for nothing is told with the reason, never merely left out.
#[test]
fn a_reading_that_counts_for_nothing_says_why() {
    let job = Job::demo();
    let rows = [
        // Which of several cracks, a place without one, a mark of another kind, no rule at all.
        ("T1,crack_gauge,workshop,,,1.2,mm,,,gauge,2026-09-10T09:00,A,", "subject", "several"),
        ("T2,crack_gauge,,5,40,1.2,mm,,,gauge,2026-09-10T09:00,A,", "subject", "none there"),
        ("T3,crack_gauge,,,,1.2,mm,,J1,gauge,2026-09-10T09:00,A,", "subject", "another kind"),
        ("T4,profile_probe,gallery,,,80,um,,,probe,2026-09-10T09:00,A,", "kind", "decides nothing"),
    ];
    let heading = job.text("readings.csv").lines().next().unwrap().to_owned();
    assert_eq!(heading.split(',').count(), 13, "{heading}");
    let first = job.append("readings.csv", &rows.map(|(row, ..)| row).join("\n"));
    let told = job.read_with_warnings();
    for ((row, field, found), line) in rows.into_iter().zip(first..) {
        let id = row.split(',').next().unwrap();
        let said = at(&told, "readings.csv", Some(line), &format!("{id}.{field}"));
        assert!(said.found.contains(found), "{said:?}");
    }
}
