//! The bill of quantities of a plan: what is worked on, what is used up, what is
//! taken away, and what the system itself needs. Each item says its formula with the
//! numbers in it.

mod acid;

pub use acid::{AcidMix, NeutraliserNeed};

use schemars::JsonSchema;
use serde::Serialize;
use tooth_measure::say::{
    Argument, Joint, Said, both, decimal, detail, film_thickness, fine, listed, own, percent, said,
};
use tooth_measure::{Area, Certainty, Length, Mass, MassPerVolume, Source, Volume};

use crate::extent::{Extent, PatchRule};
use crate::methods::{Catalogue, LineWork, Method, SurfaceWork, Work};
use crate::plan::{Plan, Planned, Step, ZonePlan};
use crate::survey::{Measured, Seen, Survey, System, ThicknessFrom, Zone, ZoneId};

/// An amount of something, in SI.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Amount {
    /// Square metres.
    AreaM2(Area),
    /// Metres.
    LengthM(Length),
    /// Cubic metres.
    VolumeM3(Volume),
    /// Kilograms.
    MassKg(Mass),
    /// Pieces.
    Pieces(u32),
}

impl Amount {
    /// To be shown in the reader's units.
    #[must_use]
    pub fn own(self) -> Argument {
        match self {
            Self::AreaM2(area) => own(area),
            Self::LengthM(length) => own(length),
            Self::VolumeM3(volume) => own(volume),
            Self::MassKg(mass) => own(mass),
            Self::Pieces(count) => count.into(),
        }
    }

    /// To be shown in both systems, the reader's own first.
    #[must_use]
    pub fn both(self) -> Argument {
        match self {
            Self::AreaM2(area) => both(area),
            Self::LengthM(length) => both(length),
            Self::VolumeM3(volume) => both(volume),
            Self::MassKg(mass) => both(mass),
            Self::Pieces(count) => count.into(),
        }
    }
}

/// One line of the bill.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Item {
    /// The zone.
    pub zone: ZoneId,
    /// What it is.
    pub item: Said,
    /// How much.
    pub amount: Amount,
    /// How it was worked out, with its numbers.
    pub formula: Said,
    /// Where the formula or figure comes from.
    pub source: Source,
}

/// The bill of quantities.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Quantities {
    /// All items, by zone in the plan's order.
    pub items: Vec<Item>,
}

const GEOMETRY: Source = Source::new("title-plan-geometry", Certainty::Computed);
/// Usual weight of concrete, for the mass of dust and rubble.
const CONCRETE: MassPerVolume = MassPerVolume::from_kilograms_per_cubic_metre(2300.0);

/// Works out the bill of a plan.
#[must_use]
pub fn quantities(
    survey: &Survey,
    plan: &Plan,
    catalogue: &Catalogue,
    rule: PatchRule,
) -> Quantities {
    let mut items = Vec::new();
    for zone in &survey.zones {
        let (Some(system), Some(planned)) = (survey.system_of(zone), plan.of(&zone.id)) else {
            continue;
        };
        let extent = Extent::measure(survey, zone, rule);
        let mut bill = Bill { zone: &zone.id, items: &mut items };
        let obstacles = extent.gross - extent.net;
        // Set operations leave rounding of less than a square millimetre.
        let formula = if obstacles < Area::from_square_millimetres(1.0) {
            said!("outline-alone")
        } else {
            said!("outline-less-obstacles", gross = own(extent.gross), obstacles = own(obstacles))
        };
        bill.add(said!("area-to-prepare"), Amount::AreaM2(extent.net), formula, GEOMETRY);
        if planned.state != Planned::Planned {
            continue;
        }
        patches(&mut bill, &extent, rule);
        for step in &planned.steps {
            step_items(&mut bill, step, catalogue, &extent);
        }
        waste_items(&mut bill, planned, catalogue);
        system_items(&mut bill, survey, zone, system, &extent, planned);
    }
    Quantities { items }
}

struct Bill<'a> {
    zone: &'a ZoneId,
    items: &'a mut Vec<Item>,
}

impl Bill<'_> {
    fn add(&mut self, item: Said, amount: Amount, formula: Said, source: Source) {
        self.items.push(Item { zone: self.zone.clone(), item, amount, formula, source });
    }
}

/// The weight of a cubic metre of concrete, as formulas show it.
fn concrete() -> Argument {
    CONCRETE.kilograms_per_cubic_metre().into()
}

fn patches(bill: &mut Bill<'_>, extent: &Extent<'_>, rule: PatchRule) {
    if extent.patches.is_empty() {
        return;
    }
    let count = extent.patches.len();
    bill.add(
        said!("patches"),
        Amount::Pieces(count as u32),
        said!("patches-squared-up"),
        rule.source(),
    );
    let sides = extent.patches.iter().map(|patch| {
        let (length, width) = (patch.rectangle.length(), patch.rectangle.width());
        said!("length-by-width", length = own(length), width = own(width))
    });
    bill.add(
        said!("patch-area"),
        Amount::AreaM2(extent.patch_area()),
        said!("sides-of-patches", sides = listed(Joint::Plus, sides)),
        rule.source(),
    );
    bill.add(
        said!("saw-cut"),
        Amount::LengthM(extent.patch_saw_cut()),
        said!("round-each-patch"),
        GEOMETRY,
    );
    bill.add(
        said!("patch-mortar"),
        Amount::VolumeM3(extent.patch_volume()),
        said!("area-by-depth-at-least", least = own(detail(rule.least_depth()))),
        rule.source(),
    );
    bill.add(
        said!("rubble"),
        Amount::MassKg(CONCRETE * extent.patch_volume()),
        said!("volume-by-weight", volume = own(extent.patch_volume()), weight = concrete()),
        Source::new("title-usual-weight-of-concrete", Certainty::Assumption),
    );
}

fn step_items(bill: &mut Bill<'_>, step: &Step, catalogue: &Catalogue, extent: &Extent<'_>) {
    let Some(method) = catalogue.method(&step.method) else {
        return;
    };
    match (&method.work, step.area_m2) {
        (Work::Surface(work), Some(area)) => surface_items(bill, step, method, work, area),
        (Work::Line(work), _) => line_items(bill, step, method, work),
        (Work::Fill(_), Some(area)) => fill_item(bill, step, extent, area),
        _ => {}
    }
}

fn surface_items(
    bill: &mut Bill<'_>,
    step: &Step,
    method: &Method,
    work: &SurfaceWork,
    area: Area,
) {
    let passes = f64::from(step.passes);
    let formula = match &step.edging {
        Some(edge) => said!(
            "by-machine-and-edging",
            field = own(area - edge.area_m2),
            band = own(edge.area_m2),
            edging = &edge.name,
            passes = step.passes
        ),
        None => said!("passes", passes = step.passes),
    };
    bill.add(
        said!("step-and-scope", step = &step.name, scope = step.scope),
        Amount::AreaM2(area),
        formula,
        GEOMETRY,
    );
    if work.depth_per_pass > Length::ZERO && !method.acid {
        let depth = work.depth_per_pass * passes;
        bill.add(
            said!("dust-and-rubble", step = &step.name),
            Amount::MassKg(CONCRETE * (area * depth)),
            said!(
                "area-by-depth-by-weight",
                area = own(area),
                depth = own(detail(depth)),
                weight = concrete()
            ),
            Source::new("title-usual-weight-of-concrete-depth-per-pass", Certainty::Assumption),
        );
    }
    if work.solids.kilograms_per_square_metre() > 0.0 {
        bill.add(
            said!("solids-used-up", step = &step.name),
            Amount::MassKg(work.solids * area * passes),
            said!(
                "area-by-solids-by-passes",
                area = own(area),
                solids = decimal(work.solids.kilograms_per_square_metre(), 3),
                passes = step.passes
            ),
            method.source,
        );
    }
    if let Some((part, lasts)) = &work.wear {
        let sets = (area / *lasts * passes).ceil().max(1.0);
        bill.add(
            said!("wearing-part", step = &step.name, part = part),
            Amount::Pieces(sets as u32),
            said!(
                "area-by-passes-over-life",
                area = own(area),
                passes = step.passes,
                lasts = own(*lasts)
            ),
            method.source,
        );
    }
    if work.liquid.litres_per_square_metre() > 0.0 {
        let volume = work.liquid * area;
        bill.add(
            said!("liquid-to-recover", step = &step.name),
            Amount::VolumeM3(volume),
            said!(
                "area-by-liquid",
                area = own(area),
                liquid = decimal(work.liquid.litres_per_square_metre(), 2)
            ),
            method.source,
        );
        if method.acid {
            acid::items(volume, |item, amount, formula, source| {
                bill.add(item, amount, formula, source)
            });
        }
    }
}

fn line_items(bill: &mut Bill<'_>, step: &Step, method: &Method, work: &LineWork) {
    let Some(length) = step.length_m else { return };
    let (width, depth) = work.section;
    let filler = width * depth * length;
    if filler > Volume::ZERO {
        bill.add(
            said!("filler", step = &step.name),
            Amount::VolumeM3(filler),
            said!(
                "width-by-depth-by-length",
                width = own(detail(width)),
                depth = own(detail(depth)),
                length = own(length)
            ),
            method.source,
        );
    }
    bill.add(step.name.clone(), Amount::LengthM(length), said!("length-on-the-plan"), GEOMETRY);
}

fn fill_item(bill: &mut Bill<'_>, step: &Step, extent: &Extent<'_>, area: Area) {
    let Some(volume) = step.volume_m3 else { return };
    let fills = extent.fills.iter().map(|fill| {
        said!("fill-on", volume = own(fill.volume), area = own(fill.area), basis = fill.basis)
    });
    bill.add(
        step.name.clone(),
        Amount::VolumeM3(volume),
        said!("fills-in-all", fills = listed(Joint::Plus, fills), area = own(area)),
        GEOMETRY,
    );
}

/// Loose weight of dust and chips in a drum. Assumption.
const LOOSE: MassPerVolume = MassPerVolume::from_kilograms_per_cubic_metre(1100.0);
/// Grains of abrasive or absorbent in slurry. Assumption.
const GRAINS: MassPerVolume = MassPerVolume::from_kilograms_per_cubic_metre(2600.0);
/// What is filled into a drum of 55 gal so that it can still be closed and lifted.
const DRUM: Volume = Volume::from_litres(180.0);

/// What the zone's removal leaves to take away: dry in drums, wet as slurry.
fn waste_items(bill: &mut Bill<'_>, planned: &ZonePlan, catalogue: &Catalogue) {
    let (mut dry, mut liquid, mut wet) = (Mass::ZERO, Volume::ZERO, Volume::ZERO);
    for step in &planned.steps {
        let method = catalogue.method(&step.method);
        // What is broken out of patches, or ground back, goes with the dry waste.
        if let (Some(Work::Patch(_) | Work::ShallowPatch(_)), Some(volume)) =
            (method.map(|method| &method.work), step.volume_m3)
        {
            dry += CONCRETE * volume;
        }
        let (Some(work), Some(area)) = (method.and_then(|m| m.surface()), step.area_m2) else {
            continue;
        };
        let passes = f64::from(step.passes);
        let removed = area * work.depth_per_pass * passes;
        if work.liquid.litres_per_square_metre() > 0.0 {
            liquid += work.liquid * area;
            let solids = work.solids * area * passes;
            wet += removed
                + Volume::from_cubic_metres(
                    solids.kilograms() / GRAINS.kilograms_per_cubic_metre(),
                );
        } else {
            dry += CONCRETE * removed + work.solids * area * passes;
        }
    }
    if dry > Mass::ZERO {
        let volume = Volume::from_cubic_metres(dry.kilograms() / LOOSE.kilograms_per_cubic_metre());
        bill.add(
            said!("drums-for-dry-waste"),
            Amount::Pieces((volume / DRUM).ceil() as u32),
            said!(
                "mass-over-drum",
                mass = own(dry),
                loose = LOOSE.kilograms_per_cubic_metre(),
                drum = own(DRUM)
            ),
            Source::new("title-loose-weight-and-fill-of-a-drum", Certainty::Assumption),
        );
    }
    if liquid > Volume::ZERO {
        bill.add(
            said!("slurry-to-take-away"),
            Amount::VolumeM3(liquid + wet),
            said!("liquid-and-what-it-carries", liquid = own(liquid), solids = own(wet)),
            Source::new(
                "title-all-liquid-put-on-is-waste-with-what-it-carries",
                Certainty::Assumption,
            ),
        );
    }
}

/// Mean texture depth of the prepared surface: sand patches on the zone's sample panels.
fn panel_texture(survey: &Survey, zone: &Zone) -> Option<Length> {
    let panels =
        survey.features_of(zone).filter(|feature| matches!(feature.seen, Seen::SamplePanel { .. }));
    let depths: Vec<Length> = panels
        .flat_map(|panel| survey.readings_about(panel))
        .filter_map(|reading| match reading.measured {
            Measured::SandPatch { volume, diameter } => {
                tooth_texture::sand_patch_depth(volume, &[diameter])
            }
            _ => None,
        })
        .collect();
    tooth_measure::statistics::mean(&depths)
}

/// The system's own material: thickness over the area plus the valleys of the profile.
fn system_items(
    bill: &mut Bill<'_>,
    survey: &Survey,
    zone: &Zone,
    system: &System,
    extent: &Extent<'_>,
    planned: &ZonePlan,
) {
    let Some(material) = system.material else {
        return;
    };
    let profile = planned.steps.iter().rev().find_map(|step| step.leaves);
    let layer = extent.net * system.thickness;
    let above_peaks = system.thickness_from == ThicknessFrom::Peaks;
    let texture = panel_texture(survey, zone).filter(|_| above_peaks);
    let valleys = texture.map_or(Volume::ZERO, |depth| extent.net * depth);
    let volume = (layer + valleys) * (1.0 + material.waste.ratio());
    let valleys = match (texture, profile) {
        (Some(depth), _) => {
            said!("valleys-by-sand-patches", net = own(extent.net), depth = own(fine(depth)))
        }
        (None, Some(level)) if above_peaks => said!("valleys-to-be-measured", level = level),
        (None, _) => Said::nothing(),
    };
    bill.add(
        said!("system-material", system = &system.name),
        Amount::VolumeM3(volume),
        said!(
            "layer-and-waste",
            net = own(extent.net),
            thickness = own(film_thickness(system.thickness)),
            valleys = valleys,
            waste = percent(material.waste),
            from = system.thickness_from
        ),
        Source::DATA_SHEET,
    );
    if let Some(container) = material.container.filter(|held| *held > Volume::ZERO) {
        bill.add(
            said!("system-containers", system = &system.name),
            Amount::Pieces((volume / container - 1e-9).ceil() as u32),
            said!("volume-over-container", volume = own(volume), container = own(container)),
            Source::DATA_SHEET,
        );
    }
}
