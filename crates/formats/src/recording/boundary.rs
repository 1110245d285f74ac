//! The boundary of what was sounded: one GeoJSON polygon in local metres.

use tooth_measure::say::said;
use tooth_measure::{Length, Outline, Point, range};

use crate::limits;
use crate::text::{Fault, Faults, Node, Value, json};

/// Reads a polygon: a geometry, a feature, or the first of a collection's features.
///
/// # Errors
///
/// Every fault of it, with its line.
pub fn boundary(file: &str, text: &str) -> Result<Outline, Vec<Fault>> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let faults = Faults::default();
    let outline = json(file, text, &faults).and_then(|node| {
        let Some(ring) = ring(&node) else {
            faults.refuse(
                file,
                Some(node.line),
                "coordinates",
                said!("a-polygon-with-one-ring"),
                node.describe(),
            );
            return None;
        };
        let points =
            ring.iter().map(|node| point(file, node, &faults)).collect::<Option<Vec<_>>>()?;
        match Outline::new(&points) {
            Ok(outline) => Some(outline),
            Err(fault) => {
                faults.refuse(
                    file,
                    Some(node.line),
                    "coordinates",
                    said!("a-simple-outline"),
                    fault.said(),
                );
                None
            }
        }
    });
    let (refused, _) = faults.sorted();
    match outline {
        Some(outline) if refused.is_empty() => Ok(outline),
        _ => Err(refused),
    }
}

fn field<'a>(node: &'a Node, name: &str) -> Option<&'a Node> {
    match &node.value {
        Value::Table(entries) => entries.iter().find(|(key, _)| key == name).map(|(_, node)| node),
        _ => None,
    }
}

fn ring(node: &Node) -> Option<&[Node]> {
    if let Some(Value::List(features)) = field(node, "features").map(|node| &node.value) {
        return features.iter().find_map(ring);
    }
    if let Some(geometry) = field(node, "geometry") {
        return ring(geometry);
    }
    let Value::List(rings) = &field(node, "coordinates")?.value else { return None };
    match rings.as_slice() {
        [one] => match &one.value {
            Value::List(points) if points.len() <= limits::CORNERS => Some(points),
            _ => None,
        },
        _ => None,
    }
}

fn point(file: &str, node: &Node, faults: &Faults) -> Option<Point> {
    let number = |node: &Node| match node.value {
        Value::Number(number) => {
            let length = Length::from_metres(number);
            range::PLAN_COORDINATE.check(length).ok()
        }
        _ => None,
    };
    if let Value::List(parts) = &node.value
        && let [x, y] = parts.as_slice()
        && let (Some(x), Some(y)) = (number(x), number(y))
    {
        return Some(Point::new(x, y));
    }
    faults.refuse(
        file,
        Some(node.line),
        "coordinates",
        said!("two-numbers-in-local-metres"),
        node.describe(),
    );
    None
}
