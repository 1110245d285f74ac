//! The list of taps beside a recording: CSV in the order they were struck.

use std::collections::BTreeSet;

use tooth_measure::say::said;
use tooth_measure::{Length, Point, TimeSpan, range};
use tooth_sounding::{Known, Mark, Step};

use crate::text::{Fault, Faults, Fields, rows};

/// Columns: `x_m` and `y_m`, or `x_ft` and `y_ft`; `known` is empty, `sound` or `hollow`;
/// `time_s` where the list was kept by the clock.
const COLUMNS: &[&str] = &["tap", "x_m", "y_m", "x_ft", "y_ft", "known", "time_s"];
const REQUIRED: &[&str] = &["tap"];

/// Reads a list of taps.
///
/// # Errors
///
/// Every fault of it, with line and column.
pub fn taps(file: &str, text: &str) -> Result<Vec<Mark>, Vec<Fault>> {
    let faults = Faults::default();
    let rows = rows(file, text, COLUMNS, REQUIRED, &faults);
    let mut numbers = BTreeSet::new();
    let mut marks: Vec<Mark> = Vec::new();
    for row in &rows {
        let fields = Fields::of(file, "", row, &faults);
        let Some(mark) = mark(&fields) else { continue };
        if !numbers.insert(mark.number) {
            fields.refuse(
                "tap",
                said!("a-number-that-no-other-tap-has"),
                said!("number-again", number = mark.number),
            );
        }
        marks.push(mark);
    }
    if rows.is_empty() {
        faults.refuse(file, None, "", said!("a-row-for-each-tap"), said!("none"));
    }
    if marks.iter().any(|mark| mark.place.is_some()) {
        for (mark, row) in marks.iter().zip(&rows).filter(|(mark, _)| mark.place.is_none()) {
            faults.refuse(
                file,
                Some(row.line),
                "x_m",
                said!("a-place-for-every-tap-or-for-none"),
                said!("tap-without", number = mark.number),
            );
        }
    }
    let (refused, _) = faults.sorted();
    if refused.is_empty() { Ok(marks) } else { Err(refused) }
}

/// Columns of a path that was swept.
const PATH: &[&str] = &["time_s", "x_m", "y_m", "x_ft", "y_ft", "known"];

/// Reads the path of a sweep: a row for each corner, in the order of time.
///
/// # Errors
///
/// Every fault of it, with line and column.
pub fn path(file: &str, text: &str) -> Result<Vec<Step>, Vec<Fault>> {
    let faults = Faults::default();
    let rows = rows(file, text, PATH, &["time_s"], &faults);
    let mut steps: Vec<Step> = Vec::new();
    for row in &rows {
        let fields = Fields::of(file, "", row, &faults);
        let (time, known, place) = (moment(&fields), known(&fields), any_place(&fields));
        fields.finish();
        let given = |field: &str| fields.has(field);
        if !given("time_s") {
            fields.refuse("time_s", said!("seconds-from-the-start"), said!("nothing"));
        }
        if !given("x_m") && !given("x_ft") {
            fields.refuse("x_m", said!("where-the-path"), said!("nothing"));
        }
        let (Some(time), Some(place)) = (time, place) else { continue };
        if steps.last().is_some_and(|last| time < last.time) {
            fields.refuse(
                "time_s",
                said!("a-moment-after-the-row-before"),
                format!("{} s", time.seconds()),
            );
        }
        steps.push(Step { time, place, known });
    }
    if rows.len() < 2 {
        faults.refuse(file, None, "", said!("at-least-two-rows"), rows.len().to_string());
    }
    let (refused, _) = faults.sorted();
    if refused.is_empty() { Ok(steps) } else { Err(refused) }
}

fn mark(row: &Fields<'_>) -> Option<Mark> {
    let number = row.maybe_text("tap").and_then(|text| match text.parse::<u32>() {
        Ok(number) => Some(number),
        Err(_) => {
            row.refuse("tap", said!("a-whole-number-from-0"), format!("`{text}`"));
            None
        }
    });
    if !row.has("tap") {
        row.refuse("tap", said!("a-whole-number-from-0"), said!("nothing"));
    }
    let (known, place, time) = (known(row), any_place(row), moment(row));
    row.finish();
    Some(Mark { number: number?, place, known, time })
}

fn known(row: &Fields<'_>) -> Option<Known> {
    row.maybe_text("known").and_then(|text| match text.as_str() {
        "sound" => Some(Known::Sound),
        "hollow" => Some(Known::Hollow),
        _ => {
            row.refuse("known", said!("sound-hollow-or-nothing"), format!("`{text}`"));
            None
        }
    })
}

/// A place in metres or in feet; none where there is none, or a fault.
fn any_place(row: &Fields<'_>) -> Option<Point> {
    let metres = (row.has("x_m"), row.has("y_m"));
    let feet = (row.has("x_ft"), row.has("y_ft"));
    match (metres, feet) {
        ((true, true), (false, false)) => place(row, "x_m", "y_m", Length::from_metres),
        ((false, false), (true, true)) => place(row, "x_ft", "y_ft", Length::from_feet),
        ((false, false), (false, false)) => None,
        _ => {
            row.refuse(
                "x_m",
                said!("both-coordinates-in-metres-or-in-feet"),
                said!("a-part-of-them"),
            );
            None
        }
    }
}

fn moment(row: &Fields<'_>) -> Option<TimeSpan> {
    let seconds = row.has("time_s").then(|| number_of(row, "time_s")).flatten()?;
    match range::RECORDING_MOMENT.check(TimeSpan::from_seconds(seconds)) {
        Ok(time) => Some(time),
        Err(expected) => {
            row.refuse("time_s", expected, format!("{seconds} s"));
            None
        }
    }
}

fn place(row: &Fields<'_>, x: &str, y: &str, make: fn(f64) -> Length) -> Option<Point> {
    let coordinate = |field: &str| {
        let length = make(number_of(row, field)?);
        match range::PLAN_COORDINATE.check(length) {
            Ok(length) => Some(length),
            Err(expected) => {
                row.refuse(field, expected, format!("{} m", length.metres()));
                None
            }
        }
    };
    let (x, y) = (coordinate(x), coordinate(y));
    Some(Point::new(x?, y?))
}

fn number_of(row: &Fields<'_>, field: &str) -> Option<f64> {
    let text = row.maybe_text(field)?;
    match text.parse::<f64>() {
        Ok(number) if number.is_finite() => Some(number),
        _ => {
            row.refuse(field, said!("a-number"), format!("`{text}`"));
            None
        }
    }
}
