//! What a drawing leaves open: strips and holes between areas, borders without a wall, sizes out
//! of reason. Each is a question with its place; none of it is refused.

use tooth_job::survey::{Place, Seen};
use tooth_measure::say::said;
use tooth_measure::show::Show as _;
use tooth_measure::{Area, Length, Path, Point, Region, UnitSystem};

use super::plan::Plan;
use crate::text::Faults;

const PLAN: &str = "plan.geojson";
/// A gap between areas up to this is a slip of the pencil or a strip that somebody forgot.
const STRIP: Length = Length::from_millimetres(300.0);
/// Less than this is no hole.
const HOLE: Area = Area::from_square_millimetres(50_000.0);
/// A wall as near as this to a border stands along it.
const ALONG: Length = Length::from_millimetres(150.0);
/// A shorter stretch of border is a door or gate.
const DOORWAY: Length = Length::from_metres(3.0);
/// A mark that lies less than this outside all areas was drawn by hand.
const OFF_THE_SLAB: Area = Area::from_square_metres(0.1);
/// Areas and slabs beyond these are asked about. Assumptions.
const LARGEST: Area = Area::from_square_metres(100_000.0);
const LONGEST: Length = Length::from_metres(1000.0);
const SMALLEST: Area = Area::from_square_metres(0.5);

/// All questions about the drawing.
pub(super) fn ask(plan: &Plan, faults: &Faults) {
    let outlines: Vec<Region> = plan.zones.iter().map(|zone| zone.outline.region()).collect();
    let areas = Region::union_of(&outlines);
    sizes(plan, &areas, faults);
    gaps(plan, &areas, faults);
    walls(plan, faults);
    columns(plan, &areas, faults);
    partly_off(plan, &areas, faults);
}

fn spoken(at: Point, plan: &Plan) -> String {
    let axis = |length: Length| match plan.unit.system() {
        UnitSystem::Si => format!("{:.2} m", length.metres()),
        UnitSystem::UsCustomary => format!("{:.1} ft", length.feet()),
    };
    format!("{}, {}", axis(at.x), axis(at.y))
}

fn sizes(plan: &Plan, areas: &Region, faults: &Faults) {
    let system = plan.unit.system();
    if let Some((low, high)) = areas.bounds() {
        let (wide, deep) = (high.x - low.x, high.y - low.y);
        if wide.max(deep) > LONGEST || areas.area() > LARGEST {
            faults.warn(
                PLAN,
                None,
                "units",
                said!("a-slab-of-a-usual-size-are-the-units-right"),
                said!(
                    "width-by-depth-and-area",
                    width = wide.show(system),
                    depth = deep.show(system),
                    area = areas.area().show(system)
                ),
            );
        }
    }
    for zone in plan.zones.iter().filter(|zone| zone.outline.area() < SMALLEST) {
        faults.warn(
            PLAN,
            plan.lines.of(zone.id.as_str()),
            &format!("{}.geometry", zone.id),
            said!("an-area-of-a-usual-size-are-the-units-right"),
            zone.outline.area().show(system),
        );
    }
}

/// Strips between areas and holes inside them that neither an area nor an obstacle covers.
fn gaps(plan: &Plan, areas: &Region, faults: &Faults) {
    let half = STRIP / 2.0;
    let obstacles: Vec<Region> = plan
        .features
        .iter()
        .filter(|feature| feature.seen == Seen::Obstacle)
        .filter_map(|feature| match &feature.place {
            Place::Patch(outline) => Some(outline.region()),
            _ => None,
        })
        .collect();
    let obstacles = Region::union_of(&obstacles);
    let closed = areas.within(half).inset(half);
    let holes = areas.filled();
    let open = Region::union_of(&[closed, holes]).difference(areas).difference(&obstacles);
    for gap in open.pieces().into_iter().filter(|gap| gap.area() >= HOLE) {
        let Some((low, high)) = gap.bounds() else { continue };
        let middle = Point::new((low.x + high.x) / 2.0, (low.y + high.y) / 2.0);
        faults.warn(
            PLAN,
            None,
            "zones",
            said!("areas-that-cover-the-slab-or-an-obstacle"),
            said!(
                "in-no-area-about",
                area = gap.area().show(plan.unit.system()),
                place = spoken(middle, plan)
            ),
        );
    }
}

/// Stretches of border that are neither a wall nor another area, unless the area says that its
/// border is open.
fn walls(plan: &Plan, faults: &Faults) {
    let boxed = |region: Region| region.bounds().map(|bounds| (region, bounds));
    let walls: Vec<(Region, (Point, Point))> = plan
        .features
        .iter()
        .filter_map(|feature| match (&feature.seen, &feature.place) {
            (Seen::Wall, Place::Line(path)) => Some(Region::along(path, ALONG)),
            (Seen::Obstacle, Place::Patch(outline)) => Some(outline.region().within(ALONG)),
            _ => None,
        })
        .filter_map(boxed)
        .collect();
    let grown: Vec<_> =
        plan.zones.iter().map(|zone| boxed(zone.outline.region().within(STRIP))).collect();
    for (at, zone) in plan.zones.iter().enumerate().filter(|(_, z)| !plan.open.contains(&z.id)) {
        let Some(Some((_, own))) = grown.get(at) else { continue };
        let meets = |(low, high): &(Point, Point)| {
            low.x <= own.1.x && high.x >= own.0.x && low.y <= own.1.y && high.y >= own.0.y
        };
        let others = grown.iter().enumerate().filter(|(other, _)| *other != at);
        let others = others.filter_map(|(_, grown)| grown.as_ref());
        let near = walls.iter().chain(others).filter(|(_, bounds)| meets(bounds));
        let near: Vec<Region> = near.map(|(region, _)| region.clone()).collect();
        let covered = Region::union_of(&near);
        let corners = zone.outline.corners();
        let mut open = Length::ZERO;
        for (number, from) in corners.iter().enumerate() {
            let to = corners[(number + 1) % corners.len()];
            let Some(side) = Path::new(&[*from, to]) else { continue };
            open += side.length_outside(&covered);
        }
        if open > DOORWAY {
            faults.warn(
                PLAN,
                plan.lines.of(zone.id.as_str()),
                &format!("{}.geometry", zone.id),
                said!("a-wall-drawn-along-its-border-or-open-border-true"),
                said!("border-without-a-wall", length = open.show(plan.unit.system())),
            );
        }
    }
}

/// Marks of which a part lies on no area: it is neither worked nor priced.
fn partly_off(plan: &Plan, areas: &Region, faults: &Faults) {
    let system = plan.unit.system();
    for feature in &plan.features {
        let worked = matches!(
            feature.seen,
            Seen::Spall { .. }
                | Seen::Hollow { .. }
                | Seen::Film { .. }
                | Seen::Stain { .. }
                | Seen::Surface { .. }
                | Seen::LowSpot { .. }
        );
        let Place::Patch(outline) = &feature.place else { continue };
        if !worked {
            continue;
        }
        let off = outline.region().difference(areas).area();
        let all = outline.area();
        // One that lies outside altogether is told as every such thing is.
        if off <= OFF_THE_SLAB || off >= all * 0.999 {
            continue;
        }
        faults.warn(
            PLAN,
            plan.lines.of(feature.id.as_str()),
            &format!("{}.geometry", feature.id),
            said!("a-mark-within-the-areas"),
            said!("part-outside-all-areas", off = off.show(system), all = all.show(system)),
        );
    }
}

/// Columns that stand in no area.
fn columns(plan: &Plan, areas: &Region, faults: &Faults) {
    let near = areas.within(STRIP);
    for feature in plan.features.iter().filter(|feature| feature.seen == Seen::Obstacle) {
        if !near.holds(feature.place.label_place()) {
            faults.warn(
                PLAN,
                plan.lines.of(feature.id.as_str()),
                &format!("{}.geometry", feature.id),
                said!("an-obstacle-on-the-slab"),
                said!("one-outside-all-areas"),
            );
        }
    }
}
