//! Pictures of a sounding: the map of hollow concrete, the strip of the recording with
//! its taps, and what a typical sound and a typical hollow tap sound like. Black on white
//! with shapes of their own: a dot is sound, a question mark doubtful, a filled square
//! hollow; colour tells nothing.
//!
//! Units of the drawings are millimetres on paper.

use std::fmt::Write as _;

use tooth_measure::say::{decimal, said};
use tooth_measure::{Length, Outline, Point, UnitSystem};
use tooth_sounding::{Class, Field, Groups, Sounding, Tap};
use tooth_words::Words;

use crate::svg::{MARGIN, WIDTH, sheet, text};

/// Rows of the strip at most.
const ROWS: usize = 10;
/// Shades of the map from this probability on, and their grey.
const SHADES: [(f64, &str); 3] = [(0.2, "#e4e4e4"), (0.4, "#c4c4c4"), (0.7, "#9c9c9c")];

/// The mark of a class about a point.
fn mark(class: Class, heard: bool, x: f64, y: f64, r: f64) -> String {
    let open = if heard { "" } else { " stroke-dasharray=\".5 .4\"" };
    match class {
        Class::Sound if heard => {
            format!("<circle cx=\"{x:.2}\" cy=\"{y:.2}\" r=\"{:.2}\"/>", 0.45 * r)
        }
        Class::Sound => format!(
            "<circle cx=\"{x:.2}\" cy=\"{y:.2}\" r=\"{:.2}\" fill=\"none\" stroke=\"#111\" stroke-width=\".25\"{open}/>",
            0.6 * r
        ),
        Class::Doubtful => format!(
            "<circle cx=\"{x:.2}\" cy=\"{y:.2}\" r=\"{r:.2}\" fill=\"#fff\" stroke=\"#111\" stroke-width=\".3\"{open}/><text x=\"{x:.2}\" y=\"{:.2}\" font-size=\"{:.2}\" font-weight=\"700\" text-anchor=\"middle\">?</text>",
            y + 0.55 * r,
            1.7 * r
        ),
        Class::Hollow => format!(
            "<rect x=\"{:.2}\" y=\"{:.2}\" width=\"{:.2}\" height=\"{:.2}\" fill=\"{}\" stroke=\"#111\" stroke-width=\".3\"{open}/>",
            x - 0.8 * r,
            y - 0.8 * r,
            1.6 * r,
            1.6 * r,
            if heard { "#111" } else { "#fff" }
        ),
    }
}

/// The map; none where taps have no places.
#[must_use]
pub fn sounding_map(sounding: &Sounding, words: Words) -> Option<String> {
    let units = words.units;
    let field = sounding.field.as_ref()?;
    let (left, bottom) = (field.map.origin.x, field.map.origin.y);
    let rows = field.map.nodes.len() / field.map.columns.max(1);
    let spacing = field.map.spacing;
    let wide = spacing * (field.map.columns.max(2) - 1) as f64;
    let high = spacing * (rows.max(2) - 1) as f64;
    let scale = ((WIDTH - 2.0 * MARGIN) / wide.metres()).min(200.0 / high.metres());
    let top = MARGIN;
    let plan_height = high.metres() * scale;
    let at = |point: Point| {
        (
            MARGIN + (point.x - left).metres() * scale,
            top + plan_height - (point.y - bottom).metres() * scale,
        )
    };
    let mut body = String::new();
    shade(&mut body, field, &at, spacing.metres() * scale);
    let path = |outline: &Outline| {
        let corners: Vec<String> =
            outline.corners().into_iter().map(at).map(|(x, y)| format!("{x:.2} {y:.2}")).collect();
        format!("M{}Z", corners.join("L"))
    };
    let _ = writeln!(
        body,
        "<path d=\"{}\" fill=\"none\" stroke=\"#111\" stroke-width=\".35\" stroke-dasharray=\"3 1.2\"/>",
        path(&field.border)
    );
    let r = (0.22 * field.pitch.metres() * scale).clamp(0.4, 1.5);
    for tap in &sounding.taps {
        if let Some(place) = tap.place {
            let (x, y) = at(place);
            let _ = writeln!(body, "{}", mark(tap.class, tap.time.is_some(), x, y, r));
        }
    }
    for (number, area) in field.areas.iter().enumerate() {
        let (x, y) = at(area.outline.label_place());
        let _ = writeln!(
            body,
            "<path d=\"{}\" fill=\"none\" stroke=\"#111\" stroke-width=\".7\"/><rect x=\"{:.2}\" y=\"{:.2}\" width=\"6\" height=\"3.6\" rx=\".6\" fill=\"#fff\" fill-opacity=\".9\"/>",
            path(&area.outline),
            x - 3.0,
            y - 1.8
        );
        let name = format!("H{}", number + 1);
        let _ = writeln!(
            body,
            "<text x=\"{x:.2}\" y=\"{:.2}\" font-size=\"3\" font-weight=\"700\" text-anchor=\"middle\">{name}</text>",
            y + 1.0
        );
    }
    let mut y = top + plan_height + 7.0;
    scale_bar(&mut body, MARGIN, y, scale, units);
    scale_bar(&mut body, WIDTH / 2.0, y, scale, units.other());
    y += 12.0;
    let keys = [
        (Class::Sound, true, words.label("tap-sound")),
        (Class::Doubtful, true, words.label("doubtful-tap-again")),
        (Class::Hollow, true, words.label("tap-hollow")),
        (Class::Hollow, false, words.label("not-heard-told-by-its-neighbours")),
    ];
    let mut x = MARGIN + 2.0;
    for (class, heard, name) in keys {
        let _ = writeln!(body, "{}", mark(class, heard, x, y - 1.0, 1.4));
        text(&mut body, x + 3.0, y, 3.0, "start", &name);
        x += 12.0 + 1.75 * name.len() as f64;
    }
    y += 6.0;
    let mut x = MARGIN;
    for (from, grey) in SHADES {
        let _ = writeln!(
            body,
            "<rect x=\"{x:.2}\" y=\"{:.2}\" width=\"6\" height=\"3.4\" fill=\"{grey}\" stroke=\"#111\" stroke-width=\".2\"/>",
            y - 2.8
        );
        let said = words.say(&said!("hollow-with-and-more", from = decimal(100.0 * from, 0)));
        text(&mut body, x + 7.5, y, 3.0, "start", &said);
        x += 56.0;
    }
    Some(sheet(y + 5.0, &words.label("map-of-hollow-concrete"), &body))
}

/// Runs of nodes of one shade.
fn shade(body: &mut String, field: &Field, at: &dyn Fn(Point) -> (f64, f64), side: f64) {
    let map = &field.map;
    let shade_of = |n: usize| {
        let probability = map.nodes.get(n).copied().flatten()?.ratio();
        SHADES.iter().rposition(|(from, _)| probability >= *from)
    };
    let rows = map.nodes.len() / map.columns.max(1);
    for row in 0..rows {
        let mut column = 0;
        while column < map.columns {
            let shade = shade_of(row * map.columns + column);
            let run = (column..map.columns)
                .take_while(|c| shade_of(row * map.columns + c) == shade)
                .count();
            if let Some(shade) = shade {
                let (x, y) = at(Point::new(
                    map.origin.x + map.spacing * column as f64,
                    map.origin.y + map.spacing * row as f64,
                ));
                let _ = writeln!(
                    body,
                    "<rect x=\"{:.2}\" y=\"{:.2}\" width=\"{:.2}\" height=\"{:.2}\" fill=\"{}\"/>",
                    x - side / 2.0,
                    y - side / 2.0,
                    side * run as f64 + 0.02,
                    side + 0.02,
                    SHADES[shade].1
                );
            }
            column += run;
        }
    }
}

fn scale_bar(body: &mut String, x: f64, y: f64, scale: f64, units: UnitSystem) {
    let (unit, name) = match units {
        UnitSystem::Si => (Length::from_metres(1.0), "m"),
        UnitSystem::UsCustomary => (Length::from_feet(1.0), "ft"),
    };
    let paper = unit.metres() * scale;
    let steps = [0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0];
    let each = steps.into_iter().find(|n| n * paper >= 10.0).unwrap_or(5000.0);
    for i in 0..3 {
        let fill = if i % 2 == 0 { "#111" } else { "#fff" };
        let _ = writeln!(
            body,
            "<rect x=\"{:.2}\" y=\"{y:.2}\" width=\"{:.2}\" height=\"1.6\" fill=\"{fill}\" stroke=\"#111\" stroke-width=\".25\"/>",
            x + each * paper * f64::from(i),
            each * paper
        );
    }
    for i in 0..4 {
        let name = if i == 3 { format!(" {name}") } else { String::new() };
        let tenth = (each * f64::from(i) * 10.0).round() / 10.0;
        text(
            body,
            x + each * paper * f64::from(i),
            y + 5.0,
            2.8,
            "middle",
            &format!("{tenth}{name}"),
        );
    }
}

/// The recording in rows, each tap marked above it with its class.
#[must_use]
pub fn sounding_strip(sounding: &Sounding, words: Words) -> String {
    let seconds = sounding.duration.seconds().max(0.1);
    let rows = ((seconds / 20.0).ceil() as usize).clamp(1, ROWS);
    let per_row = seconds / rows as f64;
    let (row_height, half) = (19.0, 5.5);
    let wide = WIDTH - 2.0 * MARGIN;
    let column = sounding.strip.column.seconds();
    let mut body = String::new();
    for row in 0..rows {
        let middle = MARGIN + 9.0 + row as f64 * row_height;
        let start = row as f64 * per_row;
        let x_of = |time: f64| MARGIN + (time - start) / per_row * wide;
        let (first, last) =
            ((start / column) as usize, ((start + per_row) / column).ceil() as usize);
        let columns = &sounding.strip.columns
            [first.min(sounding.strip.columns.len())..last.min(sounding.strip.columns.len())];
        // One column for each fifth of a millimetre is as fine as print goes.
        let merged = columns.len().div_ceil((wide * 5.0) as usize).max(1);
        let (mut upper, mut lower) = (String::new(), Vec::new());
        for (n, part) in columns.chunks(merged).enumerate() {
            let x = x_of((first + n * merged) as f64 * column);
            let (low, high) = part.iter().fold((0.0f64, 0.0f64), |(low, high), (l, h)| {
                (low.min(l.ratio()), high.max(h.ratio()))
            });
            let _ = write!(
                upper,
                "{}{x:.2} {:.2}",
                if n == 0 { "M" } else { "L" },
                middle - half * high
            );
            lower.push(format!("L{x:.2} {:.2}", middle - half * low));
        }
        lower.reverse();
        let _ = writeln!(body, "<path d=\"{upper}{}Z\" fill=\"#777\"/>", lower.concat());
        let _ = writeln!(
            body,
            "<path d=\"M{MARGIN} {middle:.2}h{wide:.2}\" stroke=\"#777\" stroke-width=\".2\"/>"
        );
        text(&mut body, MARGIN, middle + half + 3.2, 2.6, "start", &clock(start));
        if row + 1 == rows {
            text(&mut body, WIDTH - MARGIN, middle + half + 3.2, 2.6, "end", &clock(seconds));
        }
        let inside =
            |tap: &&Tap| tap.time.is_some_and(|t| (start..start + per_row).contains(&t.seconds()));
        for tap in sounding.taps.iter().filter(inside) {
            let x = x_of(tap.time.map_or(0.0, |t| t.seconds()));
            let y = middle - half - 1.6;
            let _ = writeln!(
                body,
                "<g><title>{}</title>{}</g>",
                words.say(&said!("tap-number", number = tap.number)),
                mark(tap.class, true, x, y, 0.9)
            );
        }
    }
    let y = MARGIN + rows as f64 * row_height + 4.0;
    let mut x = MARGIN + 2.0;
    for (class, name) in [
        (Class::Sound, "tap-sound"),
        (Class::Doubtful, "tap-doubtful"),
        (Class::Hollow, "tap-hollow"),
    ] {
        let _ = writeln!(body, "{}", mark(class, true, x, y - 1.0, 1.2));
        text(&mut body, x + 3.0, y, 3.0, "start", &words.label(name));
        x += 28.0;
    }
    sheet(y + 4.0, &words.label("recording-with-its-taps"), &body)
}

fn clock(seconds: f64) -> String {
    let whole = seconds.round() as u64;
    format!("{}:{:02}", whole / 60, whole % 60)
}

/// Typical sound and hollow tap: level in each band of the whole tap's.
#[must_use]
pub fn sounding_spectrum(sounding: &Sounding, words: Words) -> String {
    let spectrum = &sounding.spectrum;
    let (left, top, wide, high) = (18.0, 8.0, WIDTH - 18.0 - MARGIN, 62.0);
    let bands = spectrum.bands.len().max(2);
    let levels = spectrum.sound.iter().chain(spectrum.hollow.iter().flatten());
    let (low, best) = levels.fold((0.0f64, -60.0f64), |(low, best), level| {
        (low.min(level.decibels()), best.max(level.decibels()))
    });
    let low = (low / 10.0).floor().max(-6.0) * 10.0;
    let best = (best / 10.0).ceil() * 10.0;
    let x_of = |band: usize| left + wide * band as f64 / (bands - 1) as f64;
    let y_of = |level: f64| top + high * (best - level.max(low)) / (best - low).max(1.0);
    let mut body = String::new();
    let mut level = low;
    while level <= best {
        let y = y_of(level);
        let _ = writeln!(
            body,
            "<path d=\"M{left} {y:.2}h{wide:.2}\" stroke=\"#bbb\" stroke-width=\".2\"/>"
        );
        text(&mut body, left - 1.5, y + 1.0, 2.8, "end", &format!("{level:.0}"));
        level += 10.0;
    }
    text(&mut body, left - 1.5, top - 3.5, 2.8, "end", "dB");
    for (band, frequency) in spectrum.bands.iter().enumerate() {
        if band % 3 == 0 {
            let hertz = frequency.hertz();
            let shown = if hertz < 1000.0 {
                format!("{hertz:.0} Hz")
            } else {
                format!("{:.1} kHz", hertz / 1000.0)
            };
            text(&mut body, x_of(band), top + high + 5.0, 2.8, "middle", &shown);
        }
    }
    let line = |levels: &[tooth_measure::Level]| -> Vec<(f64, f64)> {
        levels.iter().enumerate().map(|(band, l)| (x_of(band), y_of(l.decibels()))).collect()
    };
    let path = |points: &[(f64, f64)]| {
        let parts: Vec<String> = points.iter().map(|(x, y)| format!("{x:.2} {y:.2}")).collect();
        format!("M{}", parts.join("L"))
    };
    let key = top + high + 12.0;
    let sound = line(&spectrum.sound);
    if !sound.is_empty() {
        let _ = writeln!(
            body,
            "<path d=\"{}\" fill=\"none\" stroke=\"#111\" stroke-width=\".4\"/><path d=\"M{left} {:.2}h10\" stroke=\"#111\" stroke-width=\".4\"/>",
            path(&sound),
            key - 1.0
        );
        for (x, y) in &sound {
            let _ = writeln!(body, "<circle cx=\"{x:.2}\" cy=\"{y:.2}\" r=\".7\"/>");
        }
        let told = if sounding.groups == Groups::NotEstablished {
            words.label("typical-tap-which-group-is-loose")
        } else {
            words.label("typical-sound-tap")
        };
        text(&mut body, left + 12.0, key, 3.0, "start", &told);
    }
    if let Some(hollow) = &spectrum.hollow {
        let hollow = line(hollow);
        let x = left + 70.0;
        let _ = writeln!(
            body,
            "<path d=\"{}\" fill=\"none\" stroke=\"#111\" stroke-width=\".9\" stroke-dasharray=\"2.4 1\"/><path d=\"M{x} {:.2}h10\" stroke=\"#111\" stroke-width=\".9\" stroke-dasharray=\"2.4 1\"/>",
            path(&hollow),
            key - 1.0
        );
        for (x, y) in &hollow {
            let _ = writeln!(
                body,
                "<rect x=\"{:.2}\" y=\"{:.2}\" width=\"1.6\" height=\"1.6\"/>",
                x - 0.8,
                y - 0.8
            );
        }
        text(&mut body, x + 12.0, key, 3.0, "start", &words.label("typical-hollow-tap"));
    }
    sheet(key + 4.0, &words.label("typical-taps-level-in-each-band"), &body)
}
