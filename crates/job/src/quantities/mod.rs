//! The bill of quantities of a plan: what is worked on, what is used up, what is
//! taken away, and what the system itself needs. Each item says its formula with the
//! numbers in it.

mod acid;

pub use acid::{AcidMix, NeutraliserNeed};

use schemars::JsonSchema;
use serde::Serialize;
use tooth_measure::show::Show;
use tooth_measure::{Area, Certainty, Length, Mass, MassPerVolume, Source, UnitSystem, Volume};

use crate::extent::{Extent, PatchRule};
use crate::methods::{Catalogue, Work};
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
    /// The number and its unit.
    #[must_use]
    pub fn show(self, system: UnitSystem) -> String {
        match self {
            Self::AreaM2(area) => area.show(system),
            Self::LengthM(length) => length.show(system),
            Self::VolumeM3(volume) => volume.show(system),
            Self::MassKg(mass) => mass.show(system),
            Self::Pieces(count) => count.to_string(),
        }
    }

    /// In both systems, the person's own first.
    #[must_use]
    pub fn show_both(self, system: UnitSystem) -> String {
        match self {
            Self::Pieces(count) => count.to_string(),
            other => format!("{} ({})", other.show(system), other.show(system.other())),
        }
    }
}

/// One line of the bill.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Item {
    /// The zone.
    pub zone: ZoneId,
    /// What it is.
    pub item: String,
    /// How much.
    pub amount: Amount,
    /// How it was worked out, with its numbers.
    pub formula: String,
    /// Where the formula or figure comes from.
    pub source: Source,
}

/// The bill of quantities.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Quantities {
    /// All items, by zone in the plan's order.
    pub items: Vec<Item>,
}

const GEOMETRY: Source = Source::new("plan geometry", Certainty::Computed);
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
        let mut bill = Bill { zone: &zone.id, units: survey.facts.units, items: &mut items };
        bill.add(
            "area to prepare",
            Amount::AreaM2(extent.net),
            |u| {
                let obstacles = extent.gross - extent.net;
                // Set operations leave rounding of less than a square millimetre.
                if obstacles < Area::from_square_millimetres(1.0) {
                    "the outline; no obstacle in it".to_owned()
                } else {
                    format!("outline {} − obstacles {}", extent.gross.show(u), obstacles.show(u))
                }
            },
            GEOMETRY,
        );
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
    units: UnitSystem,
    items: &'a mut Vec<Item>,
}

impl Bill<'_> {
    fn add(
        &mut self,
        item: impl Into<String>,
        amount: Amount,
        formula: impl FnOnce(UnitSystem) -> String,
        source: Source,
    ) {
        self.items.push(Item {
            zone: self.zone.clone(),
            item: item.into(),
            amount,
            formula: formula(self.units),
            source,
        });
    }
}

fn patches(bill: &mut Bill<'_>, extent: &Extent<'_>, rule: PatchRule) {
    if extent.patches.is_empty() {
        return;
    }
    let count = extent.patches.len();
    bill.add(
        "patches",
        Amount::Pieces(count as u32),
        |_| "loose places squared up; near neighbours joined".to_owned(),
        rule.source(),
    );
    bill.add(
        "patch area",
        Amount::AreaM2(extent.patch_area()),
        |u| {
            let sides: Vec<String> = extent
                .patches
                .iter()
                .map(|p| {
                    format!("{} × {}", p.rectangle.length().show(u), p.rectangle.width().show(u))
                })
                .collect();
            sides.join(" + ")
        },
        rule.source(),
    );
    bill.add(
        "saw cut",
        Amount::LengthM(extent.patch_saw_cut()),
        |_| "2 × (length + width) of each patch".to_owned(),
        GEOMETRY,
    );
    bill.add(
        "patch mortar",
        Amount::VolumeM3(extent.patch_volume()),
        |u| format!("area × depth, at least {} deep", rule.least_depth().show_detail(u)),
        rule.source(),
    );
    bill.add(
        "rubble",
        Amount::MassKg(CONCRETE * extent.patch_volume()),
        |u| {
            format!(
                "{} × {} kg/m³",
                extent.patch_volume().show(u),
                CONCRETE.kilograms_per_cubic_metre()
            )
        },
        Source::new("usual weight of concrete", Certainty::Assumption),
    );
}

fn step_items(bill: &mut Bill<'_>, step: &Step, catalogue: &Catalogue, extent: &Extent<'_>) {
    let Some(method) = catalogue.method(&step.method) else {
        return;
    };
    match (&method.work, step.area_m2) {
        (Work::Surface(work), Some(area)) => {
            let passes = f64::from(step.passes);
            bill.add(
                format!("{}, {}", step.name, tooth_measure::choice::Choice::words(step.scope)),
                Amount::AreaM2(area),
                |u| match &step.edging {
                    Some(edge) => format!(
                        "{} by machine + {} along walls by {}; {} pass{}",
                        (area - edge.area_m2).show(u),
                        edge.area_m2.show(u),
                        edge.name.to_lowercase(),
                        step.passes,
                        if step.passes == 1 { "" } else { "es" }
                    ),
                    None => {
                        format!("{} pass{}", step.passes, if step.passes == 1 { "" } else { "es" })
                    }
                },
                GEOMETRY,
            );
            if work.depth_per_pass > Length::ZERO && !method.acid {
                let depth = work.depth_per_pass * passes;
                bill.add(
                    format!("{}: dust and rubble", step.name),
                    Amount::MassKg(CONCRETE * (area * depth)),
                    |u| {
                        format!(
                            "{} × {} × {} kg/m³",
                            area.show(u),
                            depth.show_detail(u),
                            CONCRETE.kilograms_per_cubic_metre()
                        )
                    },
                    Source::new(
                        "usual weight of concrete; depth per pass as planned",
                        Certainty::Assumption,
                    ),
                );
            }
            if work.solids.kilograms_per_square_metre() > 0.0 {
                bill.add(
                    format!("{}: shot, abrasive or absorbent used up", step.name),
                    Amount::MassKg(work.solids * area * passes),
                    |u| {
                        format!(
                            "{} × {:.3} kg/m² × {}",
                            area.show(u),
                            work.solids.kilograms_per_square_metre(),
                            step.passes
                        )
                    },
                    method.source,
                );
            }
            if let Some((part, lasts)) = &work.wear {
                let sets = (area / *lasts * passes).ceil().max(1.0);
                bill.add(
                    format!("{}: {part}", step.name),
                    Amount::Pieces(sets as u32),
                    |u| {
                        format!(
                            "{} × {} ÷ {} a set, rounded up",
                            area.show(u),
                            step.passes,
                            lasts.show(u)
                        )
                    },
                    method.source,
                );
            }
            if work.liquid.litres_per_square_metre() > 0.0 {
                let volume = work.liquid * area;
                bill.add(
                    format!("{}: liquid to recover", step.name),
                    Amount::VolumeM3(volume),
                    |u| {
                        format!(
                            "{} × {:.2} L/m²",
                            area.show(u),
                            work.liquid.litres_per_square_metre()
                        )
                    },
                    method.source,
                );
                if method.acid {
                    acid::items(volume, |item, amount, formula, source| {
                        bill.add(item, amount, |_| formula, source)
                    });
                }
            }
        }
        (Work::Line(work), _) => {
            if let Some(length) = step.length_m {
                let (width, depth) = work.section;
                bill.add(
                    format!("{}: filler", step.name),
                    Amount::VolumeM3(width * depth * length),
                    |u| {
                        format!(
                            "{} × {} × {}",
                            width.show_detail(u),
                            depth.show_detail(u),
                            length.show(u)
                        )
                    },
                    method.source,
                );
                bill.add(
                    step.name.clone(),
                    Amount::LengthM(length),
                    |_| "length on the plan; on the border of two areas half to each".to_owned(),
                    GEOMETRY,
                );
            }
        }
        (Work::Fill(_), Some(area)) => {
            if let Some(volume) = step.volume_m3 {
                bill.add(
                    step.name.clone(),
                    Amount::VolumeM3(volume),
                    |u| {
                        let basis: Vec<String> = extent
                            .fills
                            .iter()
                            .map(|fill| {
                                let how = tooth_measure::choice::Choice::words(fill.basis);
                                format!("{} on {} ({how})", fill.volume.show(u), fill.area.show(u))
                            })
                            .collect();
                        format!("{}; {} in all", basis.join(" + "), area.show(u))
                    },
                    GEOMETRY,
                );
            }
        }
        _ => {}
    }
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
            "drums for dry waste",
            Amount::Pieces((volume / DRUM).ceil() as u32),
            |u| {
                format!(
                    "{} ÷ {} kg/m³ loose ÷ {} a drum, rounded up",
                    dry.show(u),
                    LOOSE.kilograms_per_cubic_metre(),
                    DRUM.show(u)
                )
            },
            Source::new("loose weight and fill of a drum", Certainty::Assumption),
        );
    }
    if liquid > Volume::ZERO {
        bill.add(
            "slurry to take away",
            Amount::VolumeM3(liquid + wet),
            |u| {
                format!(
                    "{} put on + {} of concrete and abrasive in it",
                    liquid.show(u),
                    wet.show(u)
                )
            },
            Source::new("all liquid put on is waste, with what it carries", Certainty::Assumption),
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
    let said = |u: UnitSystem| match (texture, profile) {
        (Some(depth), _) => format!(
            " + {} × {} of valleys (sand patches on the sample panel)",
            extent.net.show(u),
            depth.show_fine(u)
        ),
        (None, Some(level)) if above_peaks => {
            format!("; valleys of {level} come on top: measure them on the sample panel")
        }
        (None, _) => String::new(),
    };
    bill.add(
        format!("{} (material of the system)", system.name),
        Amount::VolumeM3(volume),
        |u| {
            format!(
                "({} × {}{}) + {} waste; thickness {}",
                extent.net.show(u),
                system.thickness.show_film(u),
                said(u),
                material.waste.show_percent(),
                tooth_measure::choice::Choice::words(system.thickness_from),
            )
        },
        Source::DATA_SHEET,
    );
    if let Some(container) = material.container.filter(|held| *held > Volume::ZERO) {
        bill.add(
            format!("{} (containers)", system.name),
            Amount::Pieces((volume / container - 1e-9).ceil() as u32),
            |u| format!("{} ÷ {} each, rounded up", volume.show(u), container.show(u)),
            Source::DATA_SHEET,
        );
    }
}
