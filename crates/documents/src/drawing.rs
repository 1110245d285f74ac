//! The slab's plan, drawn to scale as SVG: zones, findings, tests, scale bar, north
//! and a legend of what is on it. It reads in black and white: every kind has a hatch,
//! line or symbol of its own and never relies on colour.
//!
//! Units of the drawing are millimetres on paper.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use tooth_job::extent::{Extent, PatchRule};
use tooth_job::plan::ItemNear;
use tooth_job::survey::{
    Contaminant, Feature, Hollow, JointKind, Measured, Place, Seen, SurfaceState, Survey, Zone,
    ZoneId,
};
use tooth_measure::say::said;
use tooth_measure::{Length, Point, UnitSystem};

use tooth_words::Words;
use tooth_words::survey::letter;

use crate::svg::escaped;

/// What a drawing shows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Focus<'a> {
    /// The whole slab with everything seen and read, and a legend.
    Whole,
    /// The whole slab, one zone dark, nothing else: a locator for a card.
    Locator(&'a ZoneId),
}

/// A drawing and its size on paper.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// The SVG.
    pub svg: String,
    /// Width in paper millimetres.
    pub width: Length,
    /// Height in paper millimetres.
    pub height: Length,
    /// The scale: 1 to this.
    pub scale: u32,
}

/// Height of the name of something in the slab, where somebody cuts.
const ITEM_LABEL: f64 = 4.6;
/// Height of a label on the plan.
const LABEL: f64 = 2.3;
const SCALES: [u32; 16] =
    [10, 20, 25, 50, 75, 100, 125, 150, 175, 200, 225, 250, 400, 500, 1000, 2000];
pub(crate) const MARGIN: f64 = 4.0;

/// Draws the plan no wider and no higher than given.
#[must_use]
pub fn plan_drawing(
    survey: &Survey,
    rule: PatchRule,
    words: Words,
    focus: Focus<'_>,
    (width, height): (Length, Length),
) -> Drawing {
    let (low, high) = bounds(survey);
    let (room_w, room_h) =
        (width.millimetres() - 2.0 * MARGIN, height.millimetres() - 2.0 * MARGIN);
    let (slab_w, slab_h) = ((high.x - low.x).millimetres(), (high.y - low.y).millimetres());
    let fits =
        |scale: u32| slab_w / f64::from(scale) <= room_w && slab_h / f64::from(scale) <= room_h;
    let scale = SCALES.into_iter().find(|s| fits(*s)).unwrap_or_else(|| {
        let needed = (slab_w / room_w).max(slab_h / room_h);
        (needed / 1000.0).ceil() as u32 * 1000
    });
    let mut sheet = Sheet {
        survey,
        words,
        rule,
        low,
        high,
        scale: f64::from(scale),
        body: String::new(),
        labels: Vec::new(),
        keys: BTreeSet::new(),
    };
    let plan_height = slab_h / f64::from(scale) + 2.0 * MARGIN;
    let plan_width = slab_w / f64::from(scale) + 2.0 * MARGIN;
    match focus {
        Focus::Whole => sheet.whole(),
        Focus::Locator(zone) => sheet.locator(zone),
    }
    let (total_w, total_h) = match focus {
        Focus::Whole => {
            let full = width.millimetres();
            let foot = sheet.foot(full, plan_height, scale);
            (full, plan_height + foot)
        }
        Focus::Locator(_) => (plan_width, plan_height),
    };
    let svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{total_w:.2}mm\" height=\"{total_h:.2}mm\" viewBox=\"0 0 {total_w:.2} {total_h:.2}\" font-family=\"Atkinson Hyperlegible Next, sans-serif\">\n{DEFINITIONS}{}</svg>\n",
        sheet.body
    );
    Drawing {
        svg,
        width: Length::from_millimetres(total_w),
        height: Length::from_millimetres(total_h),
        scale,
    }
}

fn bounds(survey: &Survey) -> (Point, Point) {
    let mut points: Vec<Point> =
        survey.zones.iter().flat_map(|zone| zone.outline.corners()).collect();
    for feature in &survey.features {
        if matches!(feature.seen, Seen::Wall | Seen::Obstacle) {
            match &feature.place {
                Place::Line(path) => points.extend(path.points()),
                Place::Patch(outline) => points.extend(outline.corners()),
                Place::Spot(point) => points.push(*point),
            }
        }
    }
    let start = points.first().copied().unwrap_or(Point::new(Length::ZERO, Length::ZERO));
    points.iter().fold((start, start), |(low, high), p| {
        (Point::new(low.x.min(p.x), low.y.min(p.y)), Point::new(high.x.max(p.x), high.y.max(p.y)))
    })
}

/// Hatches: lines at angles, crosses, dots. White first, so that hatches of a lower
/// layer do not show through.
pub(crate) const DEFINITIONS: &str = r##"<defs>
<pattern id="sure" width="1.6" height="1.6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path d="M0 0V1.6" stroke="#111" stroke-width=".75"/></pattern>
<pattern id="doubtful" width="2.6" height="2.6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path d="M0 0V2.6" stroke="#111" stroke-width=".3"/></pattern>
<pattern id="spall" width="1.5" height="1.5" patternUnits="userSpaceOnUse"><path d="M0 0L1.5 1.5M1.5 0L0 1.5" stroke="#111" stroke-width=".4"/></pattern>
<pattern id="film" width="2" height="1.5" patternUnits="userSpaceOnUse"><path d="M0 .75H2" stroke="#555" stroke-width=".25"/></pattern>
<pattern id="oil" width="1.8" height="1.8" patternUnits="userSpaceOnUse"><circle cx=".9" cy=".9" r=".5" fill="#111"/></pattern>
<pattern id="rust" width="2.2" height="2.2" patternUnits="userSpaceOnUse"><circle cx="1.1" cy="1.1" r=".6" fill="none" stroke="#111" stroke-width=".25"/></pattern>
<pattern id="salts" width="2.4" height="2.4" patternUnits="userSpaceOnUse"><path d="M.6 1.2H1.8M1.2 .6V1.8" stroke="#111" stroke-width=".3"/></pattern>
<pattern id="weak" width="2.2" height="2.2" patternUnits="userSpaceOnUse" patternTransform="rotate(-45)"><path d="M0 0V2.2" stroke="#555" stroke-width=".25" stroke-dasharray=".8 .5"/></pattern>
<pattern id="pattern" width="4" height="3.4" patternUnits="userSpaceOnUse"><path d="M0 0L1.4 1.2L1 2.6L2.4 3.4M1.4 1.2L3 .8L4 0M3 .8L3.4 2.2L4 3.4M3.4 2.2L1 2.6" fill="none" stroke="#111" stroke-width=".25"/></pattern>
<pattern id="obstacle" width="1.2" height="1.2" patternUnits="userSpaceOnUse"><rect width="1.2" height="1.2" fill="#bbb"/><path d="M0 0L1.2 1.2" stroke="#666" stroke-width=".25"/></pattern>
</defs>
"##;

/// A kind of thing on the plan, in the order of the legend.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Key {
    Zone,
    Wall,
    Obstacle,
    Joint(JointKind),
    Crack,
    PatternCracking,
    SureHollow,
    DoubtfulHollow,
    SawCut,
    Spall,
    Film,
    Oil,
    Rust,
    Salts,
    WeakLayer,
    LowSpot,
    Ghost,
    Embedded,
    Settlement,
    Panel,
    Photo,
    PullOff,
    Moisture,
    Water,
    Acid,
    Chip,
    Ph,
    Climate,
}

impl Key {
    fn name(self) -> &'static str {
        match self {
            Self::Zone => "legend-area-with-its-letter",
            Self::Wall => "legend-wall",
            Self::Obstacle => "legend-obstacle",
            Self::Joint(JointKind::Contraction) => "legend-contraction-joint",
            Self::Joint(JointKind::Construction) => "legend-construction-joint",
            Self::Joint(JointKind::Isolation) => "legend-isolation-joint",
            Self::Joint(JointKind::Expansion) => "legend-expansion-joint",
            Self::Joint(JointKind::Cold) => "legend-cold-joint",
            Self::Crack => "legend-crack",
            Self::PatternCracking => "legend-pattern-cracking",
            Self::SureHollow => "legend-sure-hollow",
            Self::DoubtfulHollow => "legend-doubtful",
            Self::SawCut => "legend-patch-to-saw",
            Self::Spall => "legend-spall",
            Self::Film => "legend-film",
            Self::Oil => "legend-oil",
            Self::Rust => "legend-rust",
            Self::Salts => "legend-efflorescence",
            Self::WeakLayer => "legend-weak-layer",
            Self::LowSpot => "legend-low-spot",
            Self::Ghost => "legend-ghost-mark",
            Self::Embedded => "legend-item-in-the-slab",
            Self::Settlement => "legend-settlement",
            Self::Panel => "legend-sample-panel",
            Self::Photo => "legend-photograph",
            Self::PullOff => "legend-pull-off-test",
            Self::Moisture => "legend-moisture-test",
            Self::Water => "legend-water-drop",
            Self::Acid => "legend-acid-drop",
            Self::Chip => "legend-chip-rating",
            Self::Ph => "legend-ph",
            Self::Climate => "legend-air-and-surface",
        }
    }

    /// Stroke attributes of lines.
    fn stroke(self) -> &'static str {
        match self {
            Self::Wall => "stroke=\"#111\" stroke-width=\"1.4\"",
            Self::Joint(JointKind::Contraction) => {
                "stroke=\"#333\" stroke-width=\".35\" stroke-dasharray=\"3 1.2\""
            }
            Self::Joint(JointKind::Construction) => {
                "stroke=\"#333\" stroke-width=\".5\" stroke-dasharray=\"4 1 .6 1\""
            }
            Self::Joint(JointKind::Isolation) => {
                "stroke=\"#333\" stroke-width=\".9\" stroke-dasharray=\".9 .9\""
            }
            Self::Joint(JointKind::Expansion) => {
                "stroke=\"#111\" stroke-width=\"1\" stroke-dasharray=\"4 1.2\""
            }
            Self::Joint(JointKind::Cold) => {
                "stroke=\"#333\" stroke-width=\".35\" stroke-dasharray=\".6 .8\""
            }
            Self::Embedded => {
                "stroke=\"#111\" stroke-width=\".5\" stroke-dasharray=\"2.5 .8 .5 .8 .5 .8\""
            }
            Self::Settlement => "stroke=\"#111\" stroke-width=\"1.2\"",
            _ => "stroke=\"#111\" stroke-width=\".5\"",
        }
    }

    /// Fill and stroke attributes of patches.
    fn patch(self) -> &'static str {
        match self {
            Self::Obstacle => "fill=\"url(#obstacle)\" stroke=\"#111\" stroke-width=\".4\"",
            Self::PatternCracking => "fill=\"url(#pattern)\" stroke=\"#111\" stroke-width=\".3\"",
            Self::SureHollow => "fill=\"url(#sure)\" stroke=\"#111\" stroke-width=\".5\"",
            Self::DoubtfulHollow => {
                "fill=\"url(#doubtful)\" stroke=\"#111\" stroke-width=\".3\" stroke-dasharray=\"1.2 .6\""
            }
            Self::Spall => "fill=\"url(#spall)\" stroke=\"#111\" stroke-width=\".5\"",
            Self::Film => "fill=\"url(#film)\" stroke=\"#555\" stroke-width=\".25\"",
            Self::Oil => "fill=\"url(#oil)\" stroke=\"#111\" stroke-width=\".3\"",
            Self::Rust => "fill=\"url(#rust)\" stroke=\"#111\" stroke-width=\".3\"",
            Self::Salts => "fill=\"url(#salts)\" stroke=\"#111\" stroke-width=\".3\"",
            Self::WeakLayer => "fill=\"url(#weak)\" stroke=\"#555\" stroke-width=\".25\"",
            Self::LowSpot => {
                "fill=\"none\" stroke=\"#111\" stroke-width=\".35\" stroke-dasharray=\"2 1\""
            }
            Self::SawCut => {
                "fill=\"none\" stroke=\"#111\" stroke-width=\".5\" stroke-dasharray=\"1.6 .7\""
            }
            Self::Panel => "fill=\"#fff\" stroke=\"#111\" stroke-width=\".6\"",
            _ => "fill=\"none\" stroke=\"#555\" stroke-width=\".3\" stroke-dasharray=\".6 .6\"",
        }
    }
}

fn key_of(seen: &Seen) -> Option<Key> {
    Some(match seen {
        Seen::Obstacle => Key::Obstacle,
        Seen::Wall => Key::Wall,
        Seen::Joint { kind, .. } => Key::Joint(*kind),
        Seen::Crack { .. } => Key::Crack,
        Seen::PatternCracking { .. } => Key::PatternCracking,
        Seen::Settlement { .. } => Key::Settlement,
        Seen::Spall { .. } => Key::Spall,
        Seen::Hollow { sure: Hollow::Sure, .. } => Key::SureHollow,
        Seen::Hollow { sure: Hollow::Doubtful, .. } => Key::DoubtfulHollow,
        Seen::Film { .. } => Key::Film,
        Seen::Stain { kind: Contaminant::Oil, .. } => Key::Oil,
        Seen::Stain {
            kind: Contaminant::Rust | Contaminant::RustLeftOn | Contaminant::RustFromWithin,
            ..
        } => Key::Rust,
        Seen::Stain { kind: Contaminant::Efflorescence, .. } => Key::Salts,
        Seen::Surface { state: SurfaceState::DenseTrowelled, .. } => return None,
        Seen::Surface { .. } => Key::WeakLayer,
        Seen::LowSpot { .. } => Key::LowSpot,
        Seen::Ghost { .. } | Seen::Small { .. } => Key::Ghost,
        Seen::Embedded { .. } => Key::Embedded,
        Seen::SamplePanel { .. } => Key::Panel,
        Seen::Photo { .. } => Key::Photo,
        Seen::Sounded { .. } => return None,
    })
}

fn test_key(measured: Measured) -> Option<Key> {
    Some(match measured {
        Measured::PullOff { .. } => Key::PullOff,
        Measured::InSlabHumidity(_) | Measured::MoistureEmission(_) | Measured::PlasticSheet(_) => {
            Key::Moisture
        }
        Measured::WaterDrop(_) => Key::Water,
        Measured::AcidDrop(_) => Key::Acid,
        Measured::ChipRating(_)
        | Measured::SandPatch { .. }
        | Measured::ReplicaPutty(_)
        | Measured::ProfileProbe(_) => Key::Chip,
        Measured::SurfacePh(_) => Key::Ph,
        Measured::AirTemperature(_)
        | Measured::AirHumidity(_)
        | Measured::SurfaceTemperature(_) => Key::Climate,
        _ => return None,
    })
}

pub(crate) struct Sheet<'a> {
    survey: &'a Survey,
    words: Words,
    rule: PatchRule,
    low: Point,
    high: Point,
    scale: f64,
    pub(crate) body: String,
    labels: Vec<(f64, f64, f64, f64)>,
    keys: BTreeSet<Key>,
}

impl<'a> Sheet<'a> {
    /// A sheet that shows one zone as large as it fits, with room for a line of text below,
    /// and its size.
    pub(crate) fn of_zone(
        survey: &'a Survey,
        zone: &Zone,
        words: Words,
        width: Length,
        height: Length,
    ) -> (Self, f64, f64) {
        let corners = zone.outline.corners();
        let fold = |pick: fn(&Point) -> Length| {
            let of = corners.iter().map(pick);
            let low = of.clone().fold(Length::from_metres(f64::INFINITY), Length::min);
            (low, of.fold(Length::from_metres(f64::NEG_INFINITY), Length::max))
        };
        let ((left, right), (bottom, top)) = (fold(|p| p.x), fold(|p| p.y));
        let (room_w, room_h) =
            (width.millimetres() - 2.0 * MARGIN, height.millimetres() - 2.0 * MARGIN - 5.0);
        let (zone_w, zone_h) = ((right - left).millimetres(), (top - bottom).millimetres());
        let scale = (zone_w / room_w).max(zone_h / room_h).max(1.0);
        let sheet = Self {
            survey,
            words,
            rule: PatchRule::PartialDepth,
            low: Point::new(left, bottom),
            high: Point::new(right, top),
            scale,
            body: String::new(),
            labels: Vec::new(),
            keys: BTreeSet::new(),
        };
        (sheet, (zone_w / scale + 2.0 * MARGIN).max(60.0), zone_h / scale + 2.0 * MARGIN)
    }

    /// A length of the slab on paper.
    pub(crate) fn scaled(&self, length: Length) -> f64 {
        length.millimetres() / self.scale
    }

    /// Obstacles of a zone, black.
    pub(crate) fn obstacles(&mut self, zone: &Zone) {
        for obstacle in self.survey.features.iter().filter(|f| f.seen == Seen::Obstacle) {
            if let Place::Patch(outline) = &obstacle.place
                && obstacle.place.meets(&zone.outline)
            {
                let path = self.path(&outline.corners(), true);
                let _ = writeln!(self.body, "<path d=\"{path}\" fill=\"#111\"/>");
            }
        }
    }

    /// What lies in the slab near a cut: heavy dashes on white, so that it stands over
    /// whatever else is drawn.
    pub(crate) fn items(&mut self, near: &[ItemNear]) {
        let survey = self.survey;
        for item in survey.features.iter().filter(|f| near.iter().any(|n| n.feature == f.id)) {
            let path = match &item.place {
                Place::Line(path) => self.path(&path.points(), false),
                Place::Patch(outline) => self.path(&outline.corners(), true),
                Place::Spot(spot) => {
                    let (x, y) = self.at(*spot);
                    format!(
                        "M{:.2} {y:.2}L{:.2} {y:.2}M{x:.2} {:.2}L{x:.2} {:.2}",
                        x - 2.0,
                        x + 2.0,
                        y - 2.0,
                        y + 2.0
                    )
                }
            };
            let _ = writeln!(
                self.body,
                "<path d=\"{path}\" fill=\"none\" stroke=\"#fff\" stroke-width=\"2.4\"/><path d=\"{path}\" fill=\"none\" stroke=\"#111\" stroke-width=\"1.1\" stroke-dasharray=\"4 1 1 1 1 1\"/>"
            );
        }
    }

    /// Their names.
    pub(crate) fn item_names(&mut self, near: &[ItemNear]) {
        let survey = self.survey;
        for item in survey.features.iter().filter(|f| near.iter().any(|n| n.feature == f.id)) {
            let (x, y) = self.at(item.place.label_place());
            self.label(x, y, item.id.as_str(), ITEM_LABEL);
        }
    }

    pub(crate) fn at(&self, point: Point) -> (f64, f64) {
        (
            MARGIN + (point.x - self.low.x).millimetres() / self.scale,
            MARGIN + (self.high.y - point.y).millimetres() / self.scale,
        )
    }

    pub(crate) fn path(&self, points: &[Point], closed: bool) -> String {
        let mut d = String::new();
        for (i, point) in points.iter().enumerate() {
            let (x, y) = self.at(*point);
            let _ = write!(d, "{}{x:.2} {y:.2}", if i == 0 { "M" } else { "L" });
        }
        if closed {
            d.push('Z');
        }
        d
    }

    fn locator(&mut self, wanted: &ZoneId) {
        let survey = self.survey;
        for (index, zone) in survey.zones.iter().enumerate() {
            let dark = zone.id == *wanted;
            let fill = if dark { "#222" } else { "#fff" };
            let path = self.path(&zone.outline.corners(), true);
            let _ = writeln!(
                self.body,
                "<path d=\"{path}\" fill=\"{fill}\" stroke=\"#111\" stroke-width=\".4\"/>"
            );
            let (x, y) = self.at(zone.outline.label_place());
            let ink = if dark { "#fff" } else { "#111" };
            let _ = writeln!(
                self.body,
                "<text x=\"{x:.2}\" y=\"{:.2}\" font-size=\"5\" font-weight=\"700\" fill=\"{ink}\" text-anchor=\"middle\">{}</text>",
                y + 1.8,
                letter(index)
            );
        }
        for feature in survey.features.iter().filter(|f| f.seen == Seen::Obstacle) {
            self.shape(feature, Key::Obstacle);
        }
    }

    fn whole(&mut self) {
        let survey = self.survey;
        for zone in &survey.zones {
            let path = self.path(&zone.outline.corners(), true);
            let _ = writeln!(
                self.body,
                "<path d=\"{path}\" fill=\"#fff\" stroke=\"#111\" stroke-width=\".7\"/>"
            );
        }
        self.keys.insert(Key::Zone);
        // Wide things first, so that small ones stay visible on top.
        let layers: [fn(Key) -> bool; 4] = [
            |k| matches!(k, Key::Film | Key::WeakLayer | Key::PatternCracking),
            |k| matches!(k, Key::Ghost | Key::LowSpot | Key::Oil | Key::Rust | Key::Salts),
            |k| {
                matches!(
                    k,
                    Key::SureHollow | Key::DoubtfulHollow | Key::Spall | Key::Panel | Key::Obstacle
                )
            },
            |k| {
                matches!(
                    k,
                    Key::Joint(_) | Key::Crack | Key::Embedded | Key::Settlement | Key::Wall
                )
            },
        ];
        for layer in layers {
            for feature in &survey.features {
                if let Some(key) = key_of(&feature.seen).filter(|k| layer(*k)) {
                    self.shape(feature, key);
                }
            }
        }
        for zone in &survey.zones {
            let extent = Extent::measure(survey, zone, self.rule);
            for patch in &extent.patches {
                self.keys.insert(Key::SawCut);
                let path = self.path(&patch.rectangle.corners(), true);
                let _ = writeln!(self.body, "<path d=\"{path}\" {}/>", Key::SawCut.patch());
            }
        }
        // Letters of zones take their places before the small labels.
        for (index, zone) in survey.zones.iter().enumerate() {
            let (x, y) = self.letter_place(zone);
            self.labels.push((x - 4.0, y - 4.0, x + 4.0, y + 4.0));
            let _ = writeln!(
                self.body,
                "<circle cx=\"{x:.2}\" cy=\"{y:.2}\" r=\"3.6\" fill=\"#111\"/><text x=\"{x:.2}\" y=\"{:.2}\" font-size=\"4.6\" font-weight=\"700\" fill=\"#fff\" text-anchor=\"middle\">{}</text>",
                y + 1.65,
                letter(index)
            );
        }
        self.tests();
        for feature in &survey.features {
            let Some(key) = key_of(&feature.seen) else {
                continue;
            };
            if key == Key::Photo {
                self.shape(feature, key);
            }
            let plain = matches!(key, Key::Wall | Key::Obstacle | Key::Joint(_));
            if !plain {
                let (x, y) = self.at(feature.place.label_place());
                self.label(x, y, feature.id.as_str(), LABEL);
            }
        }
    }

    /// The clearest place in a zone for its letter: of a grid of places inside, the one
    /// farthest from everything drawn, and of equals the one nearest the middle.
    fn letter_place(&self, zone: &Zone) -> (f64, f64) {
        let middle = zone.outline.label_place();
        let Some((low, high)) = zone.outline.region().bounds() else {
            return self.at(middle);
        };
        let mut busy: Vec<Point> =
            self.survey.readings.iter().filter_map(|reading| reading.place).collect();
        for feature in self.survey.features.iter().filter(|f| key_of(&f.seen).is_some()) {
            busy.push(feature.place.label_place());
            match &feature.place {
                Place::Line(path) => busy.extend(path.points()),
                Place::Patch(outline) => busy.extend(outline.corners()),
                Place::Spot(_) => {}
            }
        }
        let clear = |place: Point| {
            // Four letters' room is as good as more.
            let enough = Length::from_millimetres(9.0 * self.scale);
            busy.iter().map(|b| b.distance(place)).fold(enough, Length::min)
        };
        let mut best = (middle, clear(middle), Length::ZERO);
        for i in 1..10 {
            for j in 1..10 {
                let share = |n: i32| f64::from(n) / 10.0;
                let place = Point::new(
                    low.x + (high.x - low.x) * share(i),
                    low.y + (high.y - low.y) * share(j),
                );
                let (room, off) = (clear(place), place.distance(middle));
                let better = room > best.1 || (room == best.1 && off < best.2);
                if better && zone.outline.holds(place) {
                    best = (place, room, off);
                }
            }
        }
        self.at(best.0)
    }

    fn shape(&mut self, feature: &Feature, key: Key) {
        self.keys.insert(key);
        let body = match &feature.place {
            Place::Patch(outline) => {
                let path = self.path(&outline.corners(), true);
                format!("<path d=\"{path}\" {}/>", key.patch())
            }
            Place::Line(line) if key == Key::Crack => self.crack(&line.points(), 0.45, "#111"),
            Place::Line(line) => {
                let path = self.path(&line.points(), false);
                format!("<path d=\"{path}\" fill=\"none\" {}/>", key.stroke())
            }
            Place::Spot(point) => {
                let (x, y) = self.at(*point);
                symbol(key, x, y)
            }
        };
        self.body.push_str(&body);
        self.body.push('\n');
    }

    /// A crack: a line that jags to both sides, as cracks do and joints never.
    pub(crate) fn crack(&self, points: &[Point], weight: f64, ink: &str) -> String {
        let mut d = String::new();
        let mut side = 1.0;
        for (i, pair) in points.windows(2).enumerate() {
            let ((x0, y0), (x1, y1)) = (self.at(pair[0]), self.at(pair[1]));
            let length = (x1 - x0).hypot(y1 - y0);
            let count = (length / 1.3).ceil().max(1.0) as usize;
            if i == 0 {
                let _ = write!(d, "M{x0:.2} {y0:.2}");
            }
            for k in 1..=count {
                let t = k as f64 / count as f64;
                let off = if k == count { 0.0 } else { 0.42 * side };
                side = -side;
                let (nx, ny) = ((y0 - y1) / length, (x1 - x0) / length);
                let _ = write!(
                    d,
                    "L{:.2} {:.2}",
                    x0 + (x1 - x0) * t + nx * off,
                    y0 + (y1 - y0) * t + ny * off
                );
            }
        }
        format!(
            "<path d=\"{d}\" fill=\"none\" stroke=\"{ink}\" stroke-width=\"{weight}\" stroke-linejoin=\"round\"/>"
        )
    }

    fn tests(&mut self) {
        let survey = self.survey;
        let mut drawn: BTreeSet<(i64, i64, Key)> = BTreeSet::new();
        for reading in &survey.readings {
            let (Some(place), Some(key)) = (reading.place, test_key(reading.measured)) else {
                continue;
            };
            let (x, y) = self.at(place);
            // Two people's ratings of one place are one symbol.
            if drawn.insert(((x * 10.0) as i64, (y * 10.0) as i64, key)) {
                self.keys.insert(key);
                let shift = drawn
                    .range(((x * 10.0) as i64, (y * 10.0) as i64, Key::Zone)..)
                    .take_while(|(a, b, _)| (*a, *b) == ((x * 10.0) as i64, (y * 10.0) as i64))
                    .count();
                let x = x + 2.2 * (shift.saturating_sub(1)) as f64;
                self.labels.push((x - 1.2, y - 1.2, x + 1.2, y + 1.2));
                let mark = symbol(key, x, y);
                self.body.push_str(&mark);
                self.body.push('\n');
            }
        }
    }

    /// A small label near its place, where it covers no other.
    pub(crate) fn label(&mut self, x: f64, y: f64, text: &str, size: f64) {
        let (w, h) = (text.chars().count() as f64 * 0.574 * size + 0.8, 1.13 * size);
        let tries = [
            (0.0, 0.0),
            (0.0, -1.22 * size),
            (0.0, 1.22 * size),
            (w / 2.0 + 1.2, 0.0),
            (-w / 2.0 - 1.2, 0.0),
            (w / 2.0 + 1.0, -1.13 * size),
            (-w / 2.0 - 1.0, 1.13 * size),
            (0.0, -2.35 * size),
            (0.0, 2.35 * size),
        ];
        let place = |(dx, dy): (f64, f64)| {
            (x + dx - w / 2.0, y + dy - h / 2.0, x + dx + w / 2.0, y + dy + h / 2.0)
        };
        let free = |b: &(f64, f64, f64, f64)| {
            self.labels.iter().all(|l| b.2 <= l.0 || l.2 <= b.0 || b.3 <= l.1 || l.3 <= b.1)
        };
        let chosen = tries.into_iter().map(place).find(free).unwrap_or_else(|| place((0.0, 0.0)));
        self.labels.push(chosen);
        let (cx, cy) = (f64::midpoint(chosen.0, chosen.2), f64::midpoint(chosen.1, chosen.3));
        let _ = writeln!(
            self.body,
            "<rect x=\"{:.2}\" y=\"{:.2}\" width=\"{w:.2}\" height=\"{h:.2}\" rx=\".5\" fill=\"#fff\" fill-opacity=\".88\"/><text x=\"{cx:.2}\" y=\"{:.2}\" font-size=\"{size}\" font-weight=\"700\" fill=\"#111\" text-anchor=\"middle\">{}</text>",
            chosen.0,
            chosen.1,
            cy + 0.357 * size,
            escaped(text)
        );
    }

    /// Scale bar, north and legend under the plan; returns their height.
    fn foot(&mut self, width: f64, top: f64, scale: u32) -> f64 {
        let units = self.survey.facts.units;
        let y = top + 5.0;
        self.scale_bar(MARGIN, y, units, scale);
        self.scale_bar(MARGIN + width * 0.42, y, units.other(), scale);
        self.north(width - 9.0, y);
        let (columns, row) = (4usize, 5.4);
        let column = (width - 2.0 * MARGIN) / columns as f64;
        let keys: Vec<Key> = self.keys.iter().copied().collect();
        let first = y + 13.0;
        let rows = keys.len().div_ceil(columns);
        for (i, key) in keys.iter().enumerate() {
            // Down the columns, as people read a legend.
            let (x, y) = (MARGIN + (i / rows) as f64 * column, first + (i % rows) as f64 * row);
            let swatch = swatch(*key, x, y);
            let _ = writeln!(
                self.body,
                "{swatch}<text x=\"{:.2}\" y=\"{:.2}\" font-size=\"2.9\" fill=\"#111\">{}</text>",
                x + 10.0,
                y + 1.0,
                escaped(&self.words.label(key.name()))
            );
        }
        13.0 + 5.0 + rows as f64 * row + 2.0
    }

    fn scale_bar(&mut self, x: f64, y: f64, units: UnitSystem, scale: u32) {
        let (step, name): (Length, &str) = match units {
            UnitSystem::Si => (Length::from_metres(1.0), "m"),
            UnitSystem::UsCustomary => (Length::from_feet(1.0), "ft"),
        };
        let paper = step.millimetres() / f64::from(scale);
        let each = [1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0]
            .into_iter()
            .find(|n| n * paper >= 9.0)
            .unwrap_or(200.0);
        let w = each * paper;
        for i in 0..3 {
            let fill = if i % 2 == 0 { "#111" } else { "#fff" };
            let _ = writeln!(
                self.body,
                "<rect x=\"{:.2}\" y=\"{y:.2}\" width=\"{w:.2}\" height=\"1.6\" fill=\"{fill}\" stroke=\"#111\" stroke-width=\".25\"/>",
                x + w * f64::from(i)
            );
        }
        for i in 0..4 {
            let unit = if i == 3 { format!(" {name}") } else { String::new() };
            let _ = writeln!(
                self.body,
                "<text x=\"{:.2}\" y=\"{:.2}\" font-size=\"2.7\" fill=\"#111\" text-anchor=\"middle\">{:.0}{unit}</text>",
                x + w * f64::from(i),
                y + 4.8,
                each * f64::from(i)
            );
        }
        if units == self.survey.facts.units {
            let _ = writeln!(
                self.body,
                "<text x=\"{x:.2}\" y=\"{:.2}\" font-size=\"2.7\" fill=\"#111\">{}</text>",
                y - 1.2,
                escaped(&self.words.say(&said!("drawn-to-scale", scale = scale)))
            );
        }
    }

    fn north(&mut self, x: f64, y: f64) {
        let turn = self.survey.north.0.degrees();
        let _ = writeln!(
            self.body,
            "<g transform=\"translate({x:.2} {:.2}) rotate({turn:.1})\"><path d=\"M0 -5L2 3L0 1.6L-2 3Z\" fill=\"#111\"/></g><text x=\"{x:.2}\" y=\"{:.2}\" font-size=\"3\" font-weight=\"700\" fill=\"#111\" text-anchor=\"middle\">N</text>",
            y + 1.0,
            y + 8.0
        );
    }
}

fn swatch(key: Key, x: f64, y: f64) -> String {
    match key {
        Key::Zone => format!(
            "<circle cx=\"{:.2}\" cy=\"{y:.2}\" r=\"2\" fill=\"#111\"/><text x=\"{:.2}\" y=\"{:.2}\" font-size=\"2.6\" font-weight=\"700\" fill=\"#fff\" text-anchor=\"middle\">A</text>",
            x + 4.0,
            x + 4.0,
            y + 0.95
        ),
        Key::Wall | Key::Joint(_) | Key::Embedded | Key::Settlement => {
            format!("<path d=\"M{x:.2} {y:.2}h8\" fill=\"none\" {}/>", key.stroke())
        }
        Key::Crack => format!(
            "<path d=\"M{x:.2} {y:.2}l1.2 .5l1.2 -1l1.2 1l1.2 -1l1.2 1l1.2 -1l.8 .5\" fill=\"none\" {}/>",
            key.stroke()
        ),
        Key::Photo
        | Key::PullOff
        | Key::Moisture
        | Key::Water
        | Key::Acid
        | Key::Chip
        | Key::Ph
        | Key::Climate => symbol(key, x + 4.0, y),
        _ => format!(
            "<rect x=\"{x:.2}\" y=\"{:.2}\" width=\"8\" height=\"3.6\" {}/>",
            y - 1.8,
            key.patch()
        ),
    }
}

/// Symbols of tests and spots: shapes that stay apart at two millimetres.
fn symbol(key: Key, x: f64, y: f64) -> String {
    let line = "fill=\"#fff\" stroke=\"#111\" stroke-width=\".35\"";
    match key {
        Key::PullOff => format!(
            "<circle cx=\"{x:.2}\" cy=\"{y:.2}\" r=\"1.3\" {line}/><circle cx=\"{x:.2}\" cy=\"{y:.2}\" r=\".6\" fill=\"#111\"/>"
        ),
        Key::Moisture => format!(
            "<path d=\"M{x:.2} {:.2}l1.3 2.2h-2.6Z\" fill=\"#111\" transform=\"rotate(180 {x:.2} {y:.2})\"/>",
            y - 1.2
        ),
        Key::Water => format!("<circle cx=\"{x:.2}\" cy=\"{y:.2}\" r=\"1\" {line}/>"),
        Key::Acid => format!("<path d=\"M{x:.2} {:.2}l1.2 2.1h-2.4Z\" {line}/>", y - 1.2),
        Key::Chip => format!(
            "<path d=\"M{x:.2} {:.2}l1.2 1.2l-1.2 1.2l-1.2 -1.2Z\" fill=\"#111\"/>",
            y - 1.2
        ),
        Key::Ph => format!(
            "<rect x=\"{:.2}\" y=\"{:.2}\" width=\"2\" height=\"2\" {line}/>",
            x - 1.0,
            y - 1.0
        ),
        Key::Climate => format!(
            "<path d=\"M{:.2} {y:.2}h2.6M{x:.2} {:.2}v2.6\" stroke=\"#111\" stroke-width=\".6\"/>",
            x - 1.3,
            y - 1.3
        ),
        Key::Photo => format!(
            "<rect x=\"{:.2}\" y=\"{:.2}\" width=\"3.4\" height=\"2.2\" rx=\".4\" fill=\"#111\"/><circle cx=\"{x:.2}\" cy=\"{y:.2}\" r=\".75\" fill=\"#fff\"/>",
            x - 1.7,
            y - 1.1
        ),
        _ => format!(
            "<path d=\"M{:.2} {:.2}l2.4 2.4m0 -2.4l-2.4 2.4\" stroke=\"#111\" stroke-width=\".5\"/>",
            x - 1.2,
            y - 1.2
        ),
    }
}
