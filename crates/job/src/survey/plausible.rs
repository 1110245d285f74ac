//! What readings usually are: beside the hard range of each kind, which catches wrong units, a
//! range of the plausible. What lies outside is asked about, and counts for nothing until a
//! person stands by it.

use tooth_measure::say::{
    Argument, Figure, Said, acidity, both, detail, percent as percents, said, seconds,
};
use tooth_measure::{
    Acidity, AreaRate, Certainty, Fraction, Length, MoistureEmission, Quantity, Source, Stress,
    Temperature, WorkTime,
};

use super::reading::{Measured, Reading};
use super::slab::Setting;

/// Why a reading is asked about.
#[derive(Debug, Clone, PartialEq)]
pub struct Doubt {
    /// What was read.
    pub value: Argument,
    /// Least and greatest of what is usual.
    pub usual: (Argument, Argument),
    /// A slip that would explain it, where one is known.
    pub slip: Option<Said>,
    /// Where the range comes from.
    pub source: Source,
}

const ASSUMED: Source =
    Source::new("title-range-of-the-plausible-to-be-asked-beyond", Certainty::Assumption);
const PRACTICE: Source =
    Source::new("title-usual-figures-of-the-trade-no-source", Certainty::CommonPractice);

/// Whether a reading lies outside what is plausible for its kind.
#[must_use]
pub fn doubt(reading: &Reading, setting: Setting) -> Option<Doubt> {
    let percent = Fraction::from_percent;
    let celsius = Temperature::from_celsius;
    let millimetres = Length::from_millimetres;
    match reading.measured {
        Measured::WaterDrop(time) => {
            let (low, high) = (WorkTime::from_seconds(0.0), WorkTime::from_hours(2.0));
            outside(time, [low, high], seconds, Some(said!("seconds-and-minutes")), ASSUMED)
        }
        Measured::PullOff { strength, .. } => {
            let (low, high) = (Stress::from_psi(7.0), Stress::from_psi(1200.0));
            outside(strength, [low, high], shown, Some(said!("mpa-and-psi")), PRACTICE)
        }
        Measured::InSlabHumidity(share) => {
            let slip =
                if share.ratio() <= 0.01 { Some(said!("a-share-of-1-and-per-cent")) } else { None };
            outside(share, [percent(30.0), percent(100.0)], percents, slip, PRACTICE)
        }
        Measured::MoistureEmission(rate) => {
            let of = MoistureEmission::from_pounds_per_thousand_square_feet_day;
            outside(rate, [of(0.2), of(25.0)], shown, None, PRACTICE)
        }
        Measured::SurfacePh(ph) => {
            let of = Acidity::from_ph;
            outside(ph, [of(3.0), of(13.5)], acidity, None, PRACTICE)
        }
        Measured::SandPatch { diameter, .. } => outside(
            diameter,
            [millimetres(50.0), millimetres(600.0)],
            depth,
            Some(said!("inches-and-millimetres")),
            ASSUMED,
        ),
        Measured::ReplicaPutty(height) | Measured::ProfileProbe(height) => outside(
            height,
            [millimetres(0.005), millimetres(12.0)],
            depth,
            Some(said!("mils-and-millimetres")),
            ASSUMED,
        ),
        Measured::AirTemperature(air) => outside(
            air,
            [celsius(-30.0), celsius(50.0)],
            shown,
            Some(said!("fahrenheit-and-celsius")),
            PRACTICE,
        ),
        Measured::SurfaceTemperature(surface) => {
            // No slab in a building stands in the sun.
            let (low, high) = match setting {
                Setting::Indoor => (-15.0, 50.0),
                Setting::Outdoor => (-30.0, 70.0),
            };
            outside(
                surface,
                [celsius(low), celsius(high)],
                shown,
                Some(said!("fahrenheit-and-celsius")),
                PRACTICE,
            )
        }
        Measured::AirHumidity(share) => {
            let slip =
                if share.ratio() <= 0.01 { Some(said!("a-share-of-1-and-per-cent")) } else { None };
            outside(share, [percent(5.0), percent(100.0)], percents, slip, PRACTICE)
        }
        Measured::CrackGauge(width) => outside(
            width,
            [millimetres(0.0), millimetres(50.0)],
            depth,
            Some(said!("mils-and-millimetres")),
            ASSUMED,
        ),
        Measured::FilmThickness(film) => outside(
            film,
            [Length::from_mils(0.2), Length::from_mils(500.0)],
            depth,
            Some(said!("mils-and-millimetres")),
            ASSUMED,
        ),
        Measured::Carbonation(front) => {
            outside(front, [millimetres(0.0), millimetres(100.0)], depth, None, ASSUMED)
        }
        Measured::Chloride(share) => outside(
            share,
            [percent(0.0), percent(5.0)],
            percents,
            Some(said!("by-cement-and-by-concrete")),
            ASSUMED,
        ),
        Measured::StraightedgeDepth(gap) => {
            outside(gap, [millimetres(0.0), millimetres(150.0)], depth, None, ASSUMED)
        }
        Measured::Elevation(height) => {
            let most = Length::from_metres(20.0);
            outside(height, [most * -1.0, most], depth, Some(said!("inches-and-feet")), ASSUMED)
        }
        Measured::ProductionRate(rate) => {
            let of = AreaRate::from_square_feet_per_hour;
            outside(rate, [of(3.0), of(20_000.0)], shown, None, ASSUMED)
        }
        Measured::AcidDrop(_)
        | Measured::PlasticSheet(_)
        | Measured::ChipRating(_)
        | Measured::ScratchHardness(_)
        | Measured::OilBleedBack(_)
        | Measured::Laboratory(..)
        | Measured::RepairSounding(_)
        | Measured::SolventRub(_)
        | Measured::Knife(_)
        | Measured::StainDrop(_)
        | Measured::DarkCloth(_) => None,
    }
}

fn shown<Q: Into<Figure>>(quantity: Q) -> Argument {
    both(quantity)
}

fn depth(length: Length) -> Argument {
    both(detail(length))
}

fn outside<Q: Quantity>(
    value: Q,
    [low, high]: [Q; 2],
    said: fn(Q) -> Argument,
    slip: Option<Said>,
    source: Source,
) -> Option<Doubt> {
    (value < low || value > high).then(|| Doubt {
        value: said(value),
        usual: (said(low), said(high)),
        slip,
        source,
    })
}
