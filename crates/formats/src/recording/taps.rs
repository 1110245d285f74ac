//! The list of taps beside a recording: CSV in the order they were struck.

use std::collections::BTreeSet;

use tooth_measure::{Length, Point, TimeSpan, range};
use tooth_sounding::{Known, Mark};

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
                "a number that no other tap has",
                format!("{} again", mark.number),
            );
        }
        marks.push(mark);
    }
    if rows.is_empty() {
        faults.refuse(file, None, "", "a row for each tap", "none");
    }
    if marks.iter().any(|mark| mark.place.is_some()) {
        for (mark, row) in marks.iter().zip(&rows).filter(|(mark, _)| mark.place.is_none()) {
            faults.refuse(
                file,
                Some(row.line),
                "x_m",
                "a place for every tap, or for none",
                format!("tap {} without", mark.number),
            );
        }
    }
    let (refused, _) = faults.sorted();
    if refused.is_empty() { Ok(marks) } else { Err(refused) }
}

fn mark(row: &Fields<'_>) -> Option<Mark> {
    let number = row.maybe_text("tap").and_then(|text| match text.parse::<u32>() {
        Ok(number) => Some(number),
        Err(_) => {
            row.refuse("tap", "a whole number from 0", format!("`{text}`"));
            None
        }
    });
    if !row.has("tap") {
        row.refuse("tap", "a whole number from 0", "nothing");
    }
    let known = row.maybe_text("known").and_then(|text| match text.as_str() {
        "sound" => Some(Known::Sound),
        "hollow" => Some(Known::Hollow),
        _ => {
            row.refuse("known", "`sound`, `hollow` or nothing", format!("`{text}`"));
            None
        }
    });
    let metres = (row.has("x_m"), row.has("y_m"));
    let feet = (row.has("x_ft"), row.has("y_ft"));
    let place = match (metres, feet) {
        ((true, true), (false, false)) => place(row, "x_m", "y_m", Length::from_metres),
        ((false, false), (true, true)) => place(row, "x_ft", "y_ft", Length::from_feet),
        ((false, false), (false, false)) => None,
        _ => {
            row.refuse("x_m", "both coordinates, in metres or in feet", "a part of them");
            None
        }
    };
    let time = row
        .has("time_s")
        .then(|| number_of(row, "time_s"))
        .flatten()
        .map(TimeSpan::from_seconds)
        .and_then(|time| match range::RECORDING_MOMENT.check(time) {
            Ok(time) => Some(time),
            Err(expected) => {
                row.refuse("time_s", expected, format!("{} s", time.seconds()));
                None
            }
        });
    row.finish();
    Some(Mark { number: number?, place, known, time })
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
            row.refuse(field, "a number", format!("`{text}`"));
            None
        }
    }
}
