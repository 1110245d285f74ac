//! `plan.geojson`: local metres or feet, as the member `units` says.

use std::collections::{BTreeMap, BTreeSet};

use schemars::JsonSchema;
use serde::Serialize;
use tooth_job::survey::{
    Answer, CrackMovement, Feature, FeatureId, FilmMaterial, GhostKind, HollowKind, KeptTexture,
    North, Place, Seen, SystemId, Word, Zone, ZoneId,
};
use tooth_measure::choice::Choice;
use tooth_measure::geometry::OutlineFault;
use tooth_measure::say::{Said, decimal, said};
use tooth_measure::{Angle, Length, Outline, Path, Point, ProfileLevel, UnitSystem, range};

use crate::limits;
use crate::text::{Faults, Fields, FormAsked, NameOf, Node, Value, json};

const FILE: &str = "plan.geojson";

/// The unit of coordinates.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum PlanUnit {
    Metres,
    Feet,
}

impl Choice for PlanUnit {
    const LIST: &'static str = "PlanUnit";
    const ALL: &'static [Self] = &[Self::Metres, Self::Feet];
    fn key(self) -> &'static str {
        match self {
            Self::Metres => "m",
            Self::Feet => "ft",
        }
    }
}

impl PlanUnit {
    /// The system of units that the drawing is in.
    pub(super) fn system(self) -> UnitSystem {
        match self {
            Self::Metres => UnitSystem::Si,
            Self::Feet => UnitSystem::UsCustomary,
        }
    }

    pub(super) fn length(self, number: f64) -> Length {
        match self {
            Self::Metres => Length::from_metres(number),
            Self::Feet => Length::from_feet(number),
        }
    }
}

/// Where each named thing stands in the file.
#[derive(Debug, Clone, Default)]
pub(super) struct Lines(BTreeMap<String, u32>);

impl Lines {
    pub(super) fn of(&self, id: &str) -> Option<u32> {
        self.0.get(id).copied()
    }
}

#[derive(Debug)]
pub(super) struct Plan {
    pub(super) unit: PlanUnit,
    pub(super) north: North,
    pub(super) zones: Vec<Zone>,
    pub(super) features: Vec<Feature>,
    pub(super) lines: Lines,
    /// Areas of which somebody says that their border is open where no wall is drawn.
    pub(super) open: BTreeSet<ZoneId>,
}

pub(super) fn read(text: &str, faults: &Faults) -> Option<Plan> {
    let node = json(FILE, text, faults)?;
    let top = Fields::of(FILE, "", &node, faults);
    match top.text("type").as_deref() {
        Some("FeatureCollection") | None => {}
        Some(other) => top.refuse("type", "`FeatureCollection`", format!("`{other}`")),
    }
    let unit = top.choice::<PlanUnit>("units")?;
    let north =
        North(Angle::from_degrees(top.maybe_number("north_degrees", -360.0, 360.0).unwrap_or(0.0)));
    let mut plan = Plan {
        unit,
        north,
        zones: Vec::new(),
        features: Vec::new(),
        lines: Lines::default(),
        open: BTreeSet::new(),
    };
    let items = top.tables("features");
    if items.len() > limits::FEATURES {
        top.refuse(
            "features",
            said!("at-most-features", most = limits::FEATURES),
            items.len().to_string(),
        );
        return None;
    }
    for item in items {
        read_feature(&item, &mut plan);
    }
    // Members that GeoJSON allows and the plan does not need.
    for member in ["name", "bbox"] {
        let _ = top.node(member);
    }
    top.finish();
    if plan.zones.is_empty() {
        top.refuse("features", said!("at-least-one-feature-of-kind-zone"), said!("none"));
    }
    if plan.zones.len() > limits::ZONES {
        top.refuse(
            "features",
            said!("at-most-zones", most = limits::ZONES),
            plan.zones.len().to_string(),
        );
    }
    Some(plan)
}

fn read_feature(item: &Fields<'_>, plan: &mut Plan) {
    match item.text("type").as_deref() {
        Some("Feature") | None => {}
        Some(other) => item.refuse("type", "`Feature`", format!("`{other}`")),
    }
    let Some(properties) = item.table("properties") else {
        return;
    };
    let (Some(id), Some(kind)) = (properties.text("id"), properties.text("kind")) else {
        return;
    };
    if plan.lines.0.insert(id.clone(), properties.line).is_some() {
        properties.refuse(
            "id",
            said!("a-name-that-nothing-else-on-the-plan-has"),
            said!("again", name = id),
        );
    }
    let place = place(item, plan.unit);
    if let Some(member) = item.node("id") {
        let _ = member;
    }
    item.finish();
    if kind == "zone" {
        let read = zone(&properties);
        properties.finish();
        let outline = match place {
            Some(Place::Patch(outline)) => Some(outline),
            Some(_) => {
                item.refuse("geometry", said!("a-polygon"), said!("a-point-or-line"));
                None
            }
            None => None,
        };
        if let (Some(zone), Some(outline)) = (read, outline) {
            if zone.open {
                plan.open.insert(zone.id.clone());
            }
            let ZoneRead { id, name, system, lot, kept, .. } = zone;
            plan.zones.push(Zone { id, name, outline, system, lot, kept });
        }
        return;
    }
    let read = mark(&kind, &properties);
    // Of an unknown kind no field can be expected.
    if KINDS.contains(&kind.as_str()) {
        properties.finish();
    }
    if let (Some((id, seen, note)), Some(place)) = (read, place) {
        let shape = shape_of(&kind);
        let fits = matches!(
            (shape, &place),
            (Shape::Any, _)
                | (Shape::Line, Place::Line(_))
                | (Shape::Patch, Place::Patch(_))
                | (Shape::Spot, Place::Spot(_))
        );
        if !fits {
            item.refuse("geometry", shape.words(), said!("another-shape"));
            return;
        }
        plan.features.push(Feature { id, place, seen, note: Said::Given(note) });
    }
}

/// What the properties of an area say.
struct ZoneRead {
    id: ZoneId,
    name: String,
    system: SystemId,
    open: bool,
    lot: Option<String>,
    kept: Option<KeptTexture>,
}

fn zone(p: &Fields<'_>) -> Option<ZoneRead> {
    let read = (p.id("id"), p.text("name"), p.id("system"));
    let open = p.flag_or("open_border", false);
    let lot = p.maybe_text("lot");
    let kept = p.maybe_choice("texture_stays");
    Some(ZoneRead { id: read.0?, name: read.1?, system: read.2?, open, lot, kept })
}

fn mark(kind: &str, p: &Fields<'_>) -> Option<(FeatureId, Seen, String)> {
    let id = p.id("id");
    let seen = seen(kind, p);
    let note = p.maybe_text("note").unwrap_or_default();
    Some((id?, seen?, note))
}

/// Asks all of the properties of something on the plan.
pub(super) fn ask(kind: &str, p: &Fields<'_>) {
    if kind == "zone" { drop(zone(p)) } else { drop(mark(kind, p)) }
}

/// The shape that a kind has on the plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Shape {
    /// A point.
    Spot,
    /// A line of two points or more.
    Line,
    /// An outline.
    Patch,
    /// Any of them.
    Any,
}

pub(super) fn shape_of(kind: &str) -> Shape {
    match kind {
        "wall" | "joint" | "crack" => Shape::Line,
        "settlement" | "ghost" | "small_damage" | "embedded" => Shape::Any,
        "photo" => Shape::Spot,
        _ => Shape::Patch,
    }
}

impl Shape {
    pub(super) fn words(self) -> Said {
        match self {
            Self::Spot => said!("a-point"),
            Self::Line => said!("a-linestring"),
            Self::Patch => said!("a-polygon"),
            Self::Any => said!("a-point-linestring-or-polygon"),
        }
    }
}

pub(super) const KINDS: &[&str] = &[
    "zone",
    "obstacle",
    "wall",
    "joint",
    "crack",
    "pattern_cracking",
    "settlement",
    "spall",
    "hollow",
    "sounded",
    "film",
    "stain",
    "surface",
    "low_spot",
    "ghost",
    "small_damage",
    "embedded",
    "sample_panel",
    "photo",
];

fn seen(kind: &str, p: &Fields<'_>) -> Option<Seen> {
    let answer = |field: &str| p.choice_or(field, Answer::Unknown);
    let depth = |field: &str| p.maybe_quantity(field, &range::DEPTH);
    Some(match kind {
        "obstacle" => Seen::Obstacle,
        "wall" => Seen::Wall,
        "joint" => {
            let working = answer("working");
            let old_filler = answer("old_filler");
            Seen::Joint { kind: p.choice("joint")?, working, old_filler }
        }
        "crack" => {
            let read = (
                p.choice_or("movement", CrackMovement::Unknown),
                answer("leaking"),
                answer("displaced"),
            );
            let (by, on) = (p.maybe_text("movement_by"), p.maybe_date("movement_on"));
            if by.is_some() != on.is_some() {
                let missing = if by.is_some() { "movement_on" } else { "movement_by" };
                p.refuse(
                    missing,
                    said!("name-and-date-of-who-says-whether-it-moves-or-neither"),
                    said!("nothing"),
                );
            }
            let width = p.quantity("width", &range::CRACK_WIDTH);
            Seen::Crack {
                width: width?,
                movement: read.0,
                said: by.zip(on).map(|(by, on)| Word { by, on }),
                leaking: read.1,
                displaced: read.2,
            }
        }
        "pattern_cracking" => Seen::PatternCracking {
            moist_aggregate: answer("moist_aggregate"),
            deposit: answer("deposit"),
        },
        "settlement" => Seen::Settlement { offset: p.quantity("offset", &range::DEPTH)? },
        "spall" => {
            let bars_exposed = answer("bars_exposed");
            Seen::Spall { depth: p.quantity("depth", &range::DEPTH)?, bars_exposed }
        }
        "hollow" => {
            let read = (p.choice_or("hollow_kind", HollowKind::Unknown), depth("depth"));
            Seen::Hollow { sure: p.choice("certainty")?, kind: read.0, depth: read.1 }
        }
        "sounded" => Seen::Sounded { method: p.choice("method")? },
        "film" => {
            let thickness = depth("thickness");
            let material = FilmMaterial {
                name: p.maybe_text("material"),
                black: p.maybe_choice("black").unwrap_or_default(),
            };
            let condition = p.maybe_choice("condition").unwrap_or_default();
            Seen::Film { kind: p.choice("film")?, thickness, material, condition }
        }
        "stain" => {
            let depth = depth("depth");
            Seen::Stain { kind: p.choice("stain")?, depth }
        }
        "surface" => {
            let depth = depth("depth");
            Seen::Surface { state: p.choice("state")?, depth }
        }
        "low_spot" => Seen::LowSpot { depth: p.quantity("depth", &range::DEPTH)? },
        "ghost" => {
            let kind = p.choice_or("ghost", GhostKind::Other);
            let of = p.maybe_text("of").unwrap_or_default();
            if kind == GhostKind::Other && of.is_empty() {
                p.refuse("of", said!("what-shows-or-a-kind-in-ghost"), said!("nothing"));
            }
            Seen::Ghost { kind, of }
        }
        "small_damage" => {
            let count = p.maybe_whole("count", 1, 100_000);
            p.must("count");
            if count.is_none() && !p.has("count") {
                p.refuse("count", said!("how-many"), said!("nothing"));
            }
            let kind = p.choice("damage");
            Seen::Small { kind: kind?, count: count? as u32 }
        }
        "embedded" => {
            let located = answer("located");
            let cover = depth("cover");
            Seen::Embedded { item: p.choice("item")?, located, cover }
        }
        "sample_panel" => {
            let profile =
                p.maybe_whole("profile", 1, 10).map(|chip| ProfileLevel::clamped(chip as u8));
            Seen::SamplePanel {
                approved_by: p.maybe_text("approved_by"),
                method: p.maybe_id("method"),
                profile,
                reaction: p.maybe_choice("reaction"),
            }
        }
        "photo" => {
            p.note("file", || FormAsked::Name { of: NameOf::Photo });
            let light = p.maybe_text("light").unwrap_or_default();
            Seen::Photo { file: p.text("file")?, light }
        }
        _ => {
            p.refuse("kind", said!("one-of", values = KINDS.join(", ")), format!("`{kind}`"));
            return None;
        }
    })
}

fn place(item: &Fields<'_>, unit: PlanUnit) -> Option<Place> {
    let geometry = item.table("geometry")?;
    let kind = geometry.text("type")?;
    let Some(coordinates) = geometry.node("coordinates") else {
        geometry.refuse("coordinates", said!("coordinates"), said!("nothing"));
        return None;
    };
    geometry.finish();
    let reader = Coordinates { geometry: &geometry, unit };
    match kind.as_str() {
        "Point" => Some(Place::Spot(reader.point(coordinates)?)),
        "LineString" => {
            let points = reader.points(coordinates)?;
            let path = Path::new(&points);
            if path.is_none() {
                geometry.refuse(
                    "coordinates",
                    said!("two-or-more-different-points"),
                    said!("points", count = points.len()),
                );
            }
            path.map(Place::Line)
        }
        "Polygon" => {
            let Value::List(rings) = &coordinates.value else {
                geometry.refuse("coordinates", said!("a-list-of-rings"), coordinates.describe());
                return None;
            };
            let [ring] = rings.as_slice() else {
                geometry.refuse(
                    "coordinates",
                    said!("one-ring-holes-are-drawn-as-obstacles"),
                    said!("rings", count = rings.len()),
                );
                return None;
            };
            let points = reader.points(ring)?;
            if points.first() != points.last() {
                geometry.refuse(
                    "coordinates",
                    said!("a-closed-ring-the-last-corner-repeats-the-first"),
                    said!("an-open-one"),
                );
                return None;
            }
            reader.outline(&points).map(Place::Patch)
        }
        other => {
            geometry.refuse("type", said!("point-linestring-or-polygon"), format!("`{other}`"));
            None
        }
    }
}

struct Coordinates<'a> {
    geometry: &'a Fields<'a>,
    unit: PlanUnit,
}

impl Coordinates<'_> {
    fn refuse(&self, line: u32, expected: impl Into<Said>, found: impl Into<Said>) {
        self.geometry.faults.refuse(
            FILE,
            Some(line),
            &self.geometry.path("coordinates"),
            expected,
            found,
        );
    }

    fn points(&self, node: &Node) -> Option<Vec<Point>> {
        let Value::List(items) = &node.value else {
            self.refuse(node.line, said!("a-list-of-points"), node.describe());
            return None;
        };
        if items.len() > limits::CORNERS {
            self.refuse(
                node.line,
                said!("at-most-points", most = limits::CORNERS),
                items.len().to_string(),
            );
            return None;
        }
        // All points are looked at, so that every fault comes up.
        let points: Vec<Option<Point>> = items.iter().map(|item| self.point(item)).collect();
        points.into_iter().collect()
    }

    fn point(&self, node: &Node) -> Option<Point> {
        let numbers = match &node.value {
            Value::List(items) => match items.as_slice() {
                [Node { value: Value::Number(x), .. }, Node { value: Value::Number(y), .. }] => {
                    Some((*x, *y))
                }
                _ => None,
            },
            _ => None,
        };
        let Some((x, y)) = numbers else {
            self.refuse(node.line, said!("two-finite-numbers-x-y"), node.describe());
            return None;
        };
        let point = Point::new(self.unit.length(x), self.unit.length(y));
        for coordinate in [point.x, point.y] {
            if let Err(expected) = range::PLAN_COORDINATE.check(coordinate) {
                self.refuse(node.line, expected, format!("{coordinate:?}"));
                return None;
            }
        }
        Some(point)
    }

    fn outline(&self, points: &[Point]) -> Option<Outline> {
        match Outline::new(points) {
            Ok(outline) => Some(outline),
            Err(fault) => {
                let (expected, found) = match fault {
                    OutlineFault::TooFewCorners => {
                        (said!("three-or-more-different-corners"), said!("fewer"))
                    }
                    OutlineFault::NoArea => {
                        (said!("an-outline-that-encloses-an-area"), said!("none-enclosed"))
                    }
                    OutlineFault::CrossesItself(at) => {
                        let (x, y) = match self.unit {
                            PlanUnit::Metres => (at.x.metres(), at.y.metres()),
                            PlanUnit::Feet => (at.x.feet(), at.y.feet()),
                        };
                        let (x, y) = (decimal(x, 3), decimal(y, 3));
                        let crossing = said!("a-crossing-at", x = x, y = y, unit = self.unit.key());
                        (said!("an-outline-that-does-not-cross-itself"), crossing)
                    }
                };
                self.geometry.refuse("coordinates", expected, found);
                None
            }
        }
    }
}
