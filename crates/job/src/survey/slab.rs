//! Facts of the job and of the slab as a whole, what the site allows, rates and
//! rules of money, permissions, and the decisions of people who overrule the tool.

use tooth_measure::choice::choices;
use tooth_measure::say::{Argument, Language, both, said};

use crate::survey::Matter;
use jiff::civil::{Date, DateTime};
use schemars::JsonSchema;
use serde::Serialize;
use tooth_measure::{
    Area, Fraction, Length, Mass, Money, MoneyPerArea, MoneyPerHour, MoneyPerLength, MoneyPerMass,
    MoneyPerVolume, UnitSystem, Volume, WorkTime,
};

use super::feature::LineTreatment;
use super::limits::Limits;
use super::priors::{Chances, TestCosts};
use super::reading::Answer;
use super::{FeatureId, ReadingId, ZoneId};

choices! {
    /// What carries the slab.
    Support {
        /// On the ground.
        OnGrade = "on_grade";
        /// Suspended over a room or a void.
        Suspended = "suspended";
        /// Nobody knows.
        Unknown = "unknown";
    }
}
choices! {
    /// Whether something is there.
    Presence {
        /// It is there and works.
        Present = "present";
        /// It is not there.
        Absent = "absent";
        /// It is there and has failed.
        Failed = "failed";
        /// Nobody knows.
        Unknown = "unknown";
    }
}
choices! {
    /// Indoors or out.
    Setting {
        /// Inside a building or enclosed.
        Indoor = "indoor";
        /// Open to the sky.
        Outdoor = "outdoor";
    }
}
choices! {
    /// How much dust the site bears.
    Dust {
        /// Usual controls are enough.
        Usual = "usual";
        /// Only shrouded and vacuumed tools.
        Controlled = "controlled";
        /// No dry removal at all.
        None = "none";
    }
}
choices! {
    /// The electrical supply at the slab.
    Power {
        /// None.
        None = "none";
        /// Single-phase outlets.
        SinglePhase = "single_phase";
        /// Three-phase supply.
        ThreePhase = "three_phase";
    }
}

choices! {
    /// What kind of building the slab is in, as rules about asbestos ask.
    Building {
        /// A house of at most four homes.
        Residence = "residence";
        /// Any other: shop, office, plant, school, larger houses.
        Commercial = "commercial";
        /// Nobody says.
        Unknown = "unknown";
    }
}

/// The slab as a whole.
#[derive(Debug, Clone, PartialEq)]
pub struct Slab {
    /// Thickness, where known.
    pub thickness: Option<Length>,
    /// Year it was cast. Age alone decides nothing.
    pub year_cast: Option<i16>,
    /// The day on which it was cast, where somebody knows it.
    pub cast: Option<Date>,
    /// What carries it.
    pub support: Support,
    /// Whether tendons were stressed in it.
    pub post_tensioned: Answer,
    /// Vapour retarder under a slab on grade.
    pub vapour_retarder: Presence,
    /// Indoors or out.
    pub setting: Setting,
    /// Whether it freezes wet.
    pub freeze_thaw: Answer,
    /// Whether heating tubes, conduit or the like may lie in it.
    pub embedded_items: Answer,
    /// Whether fire, overload or impact has damaged it.
    pub past_damage: Answer,
    /// What kind of building it is in.
    pub building: Building,
    /// Oldest year in which any film still on it, the lowest too, may have been laid.
    pub oldest_coating_year: Option<i16>,
}

/// What the site allows.
#[derive(Debug, Clone, PartialEq)]
pub struct Constraints {
    /// Dust.
    pub dust: Dust,
    /// Whether water may be used.
    pub water: bool,
    /// Whether engines may run indoors. Off unless somebody says so.
    pub engines_indoors: bool,
    /// Whether loud work is allowed.
    pub loud_work: bool,
    /// Supply at the slab.
    pub power: Power,
    /// Narrowest way in.
    pub door_width: Option<Length>,
    /// Whether tools may shake the building.
    pub vibration: bool,
    /// Hours of a day in which loud work is allowed; all of them where nobody says.
    pub loud_hours: Option<WorkTime>,
    /// Heaviest machine that the floor carries.
    pub most_machine_mass: Option<Mass>,
    /// Steepest slope of the slab, where it is not level.
    pub slope: Option<Fraction>,
}

/// Wages and the like.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rates {
    /// One worker for an hour, burdened.
    pub labour: MoneyPerHour,
    /// Solid waste, taken away.
    pub disposal: MoneyPerMass,
    /// Liquid waste and slurry, taken away.
    pub liquid_disposal: MoneyPerVolume,
    /// One trip of crew and van to the site and back.
    pub trip: Money,
    /// Working time of a day.
    pub working_day: WorkTime,
    /// People who come to the site together.
    pub crew: u8,
}

impl Rates {
    /// People who come where nobody says how many. Common practice: two.
    pub const USUAL_CREW: u8 = 2;
}

/// Rules of money. Overhead is a mark-up on direct cost; margin is a share of the price.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MoneyRules {
    /// On top of direct cost.
    pub overhead: Fraction,
    /// Of the price.
    pub margin: Fraction,
    /// No job is done for less.
    pub least_for_a_job: Money,
    /// No trip is made for less.
    pub least_for_a_trip: Money,
}

impl MoneyRules {
    /// What direct cost is multiplied by for the price.
    pub(crate) fn price_per_cost(&self) -> f64 {
        (1.0 + self.overhead.ratio()) / self.margin.complement().ratio()
    }
}

/// What a crew-hour and an hour of dust count on top of their cost when a plan is to
/// balance cost, time and dust.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weights {
    /// For every crew-hour.
    pub crew_hour: MoneyPerHour,
    /// For every hour of work that raises dust.
    pub dusty_hour: MoneyPerHour,
}

impl Weights {
    /// Assumption: a crew-hour saved is worth the wage again, an hour of dust half of it.
    #[must_use]
    pub fn usual(labour: MoneyPerHour) -> Self {
        Self { crew_hour: labour, dusty_hour: labour * 0.5 }
    }
}

/// What is not known about hidden damage: how much more is found than was marked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Uncertainty {
    /// Median of found ÷ marked.
    pub hidden_growth_median: f64,
    /// Standard deviation of its logarithm.
    pub hidden_growth_sigma: f64,
    /// How far the areas of one slab go together in that.
    pub hidden_growth_correlation: f64,
    /// How far the paces of all methods on one site go together.
    pub pace_correlation: f64,
    /// Standard deviation of the logarithm of material prices.
    pub material_price_sigma: f64,
    /// Chance that part of an area's profile must be made again.
    pub rework_chance: Fraction,
    /// How much of it then.
    pub rework_share: Fraction,
    /// Standard deviation of the logarithm of a firm's pace against rates from memory, all of
    /// them together; nothing for rates that the firm has logged.
    pub memory_sigma: f64,
}

impl Default for Uncertainty {
    /// Assumptions all: median 1.25, sigma 0.30 (no published distribution was found), half
    /// and a third together, prices to 5 %, one area in ten made again by a quarter, a firm as
    /// much as a sixth off rates from memory two times in three.
    fn default() -> Self {
        Self {
            hidden_growth_median: 1.25,
            hidden_growth_sigma: 0.30,
            hidden_growth_correlation: 0.5,
            pace_correlation: 0.3,
            material_price_sigma: 0.05,
            rework_chance: Fraction::new(0.1),
            rework_share: Fraction::new(0.25),
            memory_sigma: 0.15,
        }
    }
}

/// How much of something, at which price.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PricedAmount {
    /// By the metre.
    Length(Length, MoneyPerLength),
    /// By the square metre.
    Area(Area, MoneyPerArea),
    /// By the cubic metre.
    Volume(Volume, MoneyPerVolume),
    /// By the piece.
    Pieces(u32, Money),
}

impl PricedAmount {
    /// Amount times price.
    #[must_use]
    pub fn cost(self) -> Money {
        match self {
            Self::Length(length, price) => price * length,
            Self::Area(area, price) => price * area,
            Self::Volume(volume, price) => price * volume,
            Self::Pieces(count, price) => price * f64::from(count),
        }
    }

    /// The amount, to be shown in both systems.
    #[must_use]
    pub fn said(self) -> Argument {
        match self {
            Self::Length(length, _) => both(length),
            Self::Area(area, _) => both(area),
            Self::Volume(volume, _) => both(volume),
            Self::Pieces(count, _) => said!("pieces", count = count).into(),
        }
    }
}

choices! {
    /// What a site asks for beside the preparation itself.
    SiteWork {
        /// Masking of walls, glass, drains.
        Masking = "masking";
        /// Sheets, zip doors, air under pressure.
        Containment = "containment";
        /// Metal and glass covered near acid.
        AcidCover = "acid_cover";
        /// Smoke alarms and ventilation made safe, and put back.
        AlarmsAndVentilation = "alarms_and_ventilation";
        /// Water brought and washout taken away.
        WaterAndWashout = "water_and_washout";
        /// Night or week-end premium.
        ShiftPremium = "shift_premium";
        /// Notices to neighbours.
        Notices = "notices";
        /// Steps prepared by hand.
        Steps = "steps";
        /// Coves.
        Coves = "coves";
        /// Curbs.
        Curbs = "curbs";
        /// Drains kept and reformed.
        Drains = "drains";
        /// Changes of height to other floors.
        HeightTransition = "height_transition";
        /// Doors planed or taken off.
        DoorClearance = "door_clearance";
        /// Tests and laboratory.
        Tests = "tests";
        /// Locate.
        Locate = "locate";
        /// Sample panel.
        SamplePanel = "sample_panel";
        /// The finish itself: its material.
        Finish = "finish";
        /// The sealer over it.
        FinishSealer = "finish_sealer";
        /// Laying the finish, every coat.
        FinishLaying = "finish_laying";
        /// Grit in the last coat.
        SlipAdditive = "slip_additive";
        /// Anything else.
        Other = "other";
    }
}

/// Something that the site asks for, with its price.
#[derive(Debug, Clone, PartialEq)]
pub struct SiteItem {
    /// What.
    pub what: SiteWork,
    /// In which zone; the whole job where none is named.
    pub zone: Option<ZoneId>,
    /// How much, at which price.
    pub amount: PricedAmount,
    /// Crew-hours that it takes.
    pub hours: WorkTime,
}

/// Hidden damage found once work had begun: measured, priced, signed before it is covered.
#[derive(Debug, Clone, PartialEq)]
pub struct ChangeOrder {
    /// Its number.
    pub id: String,
    /// The zone.
    pub zone: ZoneId,
    /// What was found.
    pub found: String,
    /// How much, at which unit rate.
    pub amount: PricedAmount,
    /// Crew-hours on top.
    pub hours: WorkTime,
    /// Its photograph, by file name in `photos/`.
    pub photo: Option<String>,
    /// Whether the work goes on meanwhile.
    pub proceed: bool,
    /// Who signed, if somebody has.
    pub signed_by: Option<String>,
    /// When it was found.
    pub date: Date,
}

/// When an area was prepared: what is read from then on says whether it is accepted.
#[derive(Debug, Clone, PartialEq)]
pub struct Prepared {
    /// The zone.
    pub zone: ZoneId,
    /// Local time at which the last preparing step was done.
    pub time: DateTime,
    /// Who says so.
    pub by: String,
}

choices! {
    /// How pull-off results of a prepared area are judged.
    PullOffAcceptance {
        /// Every result within the limit.
        EveryResult = "every_result";
        /// Mean within the limit, none far below it.
        MeanAndLeast = "mean_and_least";
        /// By tolerance factor.
        ToleranceFactor = "tolerance_factor";
        /// By the share of the lot within the limit.
        PercentWithin = "percent_within";
    }
}

/// What acceptance asks for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AcceptanceRules {
    /// How pull-off results are judged; by the system's own rule where nobody says.
    pub pull_off: Option<PullOffAcceptance>,
    /// Share of the lot that must lie within the limit.
    pub share: Fraction,
    /// Confidence of a tolerance factor.
    pub confidence: Fraction,
    /// Area for which three disks, ratings or wipes are enough, and each further one stands.
    pub area_per_test: Area,
}

/// Area for which the three tests of a kind without a count by area are enough, and for which
/// each further one stands, where the specification names none. Assumption.
pub const USUAL_AREA_PER_TEST: Area = Area::from_square_feet(5000.0);

impl Default for AcceptanceRules {
    /// Nine tenths with a confidence of 95 %. Assumption.
    fn default() -> Self {
        Self {
            pull_off: None,
            share: Fraction::new(0.9),
            confidence: Fraction::new(0.95),
            area_per_test: USUAL_AREA_PER_TEST,
        }
    }
}

/// How a crack or joint is treated because somebody decided so.
#[derive(Debug, Clone, PartialEq)]
pub struct DecidedTreatment {
    /// The crack or joint.
    pub feature: FeatureId,
    /// The treatment.
    pub treatment: LineTreatment,
    /// Who decided.
    pub by: String,
    /// Why.
    pub reason: String,
    /// When, where somebody wrote it down.
    pub on: Option<Date>,
}

/// A reading that looks unlikely and that a person stands by.
#[derive(Debug, Clone, PartialEq)]
pub struct Confirmed {
    /// The reading.
    pub reading: ReadingId,
    /// Who.
    pub by: String,
    /// When.
    pub on: Date,
}

/// How a zone must drain.
#[derive(Debug, Clone, PartialEq)]
pub struct Drainage {
    /// The zone.
    pub zone: ZoneId,
    /// The drain: a feature of the plan.
    pub drain: FeatureId,
    /// Fall towards it.
    pub fall: Fraction,
}

choices! {
    /// What somebody decided where moisture stands against a system.
    MoistureWay {
        /// A coat below the system keeps the water back.
        Mitigate = "mitigate";
        /// Nothing goes down until the slab is dry enough.
        Wait = "wait";
        /// The maker states that the system has no limit.
        NoLimit = "no_limit";
    }
}

/// A decision about moisture.
#[derive(Debug, Clone, PartialEq)]
pub struct MoistureDecided {
    /// The zone.
    pub zone: ZoneId,
    /// What.
    pub way: MoistureWay,
    /// Who decided.
    pub by: String,
    /// When.
    pub on: Date,
    /// Why.
    pub reason: String,
    /// The sheet or letter on which it stands.
    pub reference: Option<String>,
}

choices! {
    /// What becomes of a film that somebody decided to keep.
    FilmWay {
        /// The new coat goes over it, cleaned and scuffed.
        RecoatOver = "recoat_over";
        /// It is softened with its own solvent, so that it flows out, and coated again.
        RewetAndRecoat = "rewet_and_recoat";
    }
}

/// A decision to keep a film: sound, and of the chemistry of what comes over it.
#[derive(Debug, Clone, PartialEq)]
pub struct FilmDecided {
    /// The zone.
    pub zone: ZoneId,
    /// The films that stay; every one of the zone where none is named.
    pub features: Vec<FeatureId>,
    /// What becomes of them.
    pub way: FilmWay,
    /// Who decided.
    pub by: String,
    /// When.
    pub on: Date,
    /// Why: the same chemistry, and how that is known.
    pub reason: String,
}

/// Lead or asbestos that a licensed firm took away, and who cleared the place.
#[derive(Debug, Clone, PartialEq)]
pub struct Abatement {
    /// The zone.
    pub zone: ZoneId,
    /// The films that are gone; every one of the zone where none is named.
    pub features: Vec<FeatureId>,
    /// The firm.
    pub firm: String,
    /// Its licence.
    pub licence: String,
    /// Who cleared the place.
    pub cleared_by: String,
    /// When.
    pub date: Date,
    /// The remover that was used on it; none where none was.
    pub remover: Option<String>,
}

/// A signed survey of what lies in the slab.
#[derive(Debug, Clone, PartialEq)]
pub struct Locate {
    /// Who signed.
    pub signed_by: String,
    /// When.
    pub date: Date,
    /// The zones that it covers.
    pub zones: Vec<ZoneId>,
}

/// The owner's consent to tests that leave a mark.
#[derive(Debug, Clone, PartialEq)]
pub struct Consent {
    /// Who gave it.
    pub given_by: String,
    /// When.
    pub date: Date,
    /// For which zones.
    pub zones: Vec<ZoneId>,
}

choices! {
    /// How a condition of a release binds.
    Binding {
        /// It is done before the work that it binds.
        DoFirst = "do_first";
        /// Somebody signs it before the work goes on, and before the area is accepted.
        SignFirst = "sign_first";
        /// It is never done.
        Never = "never";
    }
}

/// On what terms a person releases something.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct ReleaseCondition {
    /// How it binds.
    pub binding: Binding,
    /// What, in the words of whoever decided.
    pub text: String,
}

/// A condition that somebody has signed.
#[derive(Debug, Clone, PartialEq)]
pub struct SignOff {
    /// In which zone.
    pub zone: ZoneId,
    /// The condition, in its own words.
    pub condition: String,
    /// Who signed.
    pub by: String,
    /// When.
    pub date: Date,
}

/// A person's decision against a finding. Both stay visible.
#[derive(Debug, Clone, PartialEq)]
pub struct Overrule {
    /// In which zone.
    pub zone: ZoneId,
    /// What the finding is about.
    pub finding: Matter,
    /// The feature that it is about; every finding of the code where none is named.
    pub feature: Option<FeatureId>,
    /// Licence of the engineer or specialist who decides, where one is needed.
    pub licence: Option<String>,
    /// The drawing or letter on which it stands.
    pub drawing: Option<String>,
    /// On what terms.
    pub conditions: Vec<ReleaseCondition>,
    /// What somebody else does it for, where the mark is not ours to repair.
    pub by_others: Option<Money>,
    /// Said in so many words that nothing is done there.
    pub leave: bool,
    /// Why.
    pub reason: String,
    /// Who decided.
    pub by: String,
    /// When.
    pub date: Date,
}

impl Overrule {
    /// Whether what it is about stays as it is. A licence, a drawing or conditions say how
    /// something is done, not that nothing is.
    #[must_use]
    pub fn leaves(&self) -> bool {
        let says_how =
            self.licence.is_some() || self.drawing.is_some() || !self.conditions.is_empty();
        // Of a stain or a film a plain word may say where it comes from; of a loose place it
        // can only say that it is not mended.
        let loose = matches!(self.finding, Matter::HollowConcrete | Matter::Spalls);
        self.by_others.is_none() && (self.leave || loose && !says_how)
    }
}

/// Whom the work is for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Client {
    /// Name.
    pub name: String,
    /// Place of the work.
    pub site: String,
}

/// An ISO 4217 currency code.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Currency(String);

impl Currency {
    /// `None` unless three capital letters.
    #[must_use]
    pub fn new(code: &str) -> Option<Self> {
        (code.len() == 3 && code.bytes().all(|b| b.is_ascii_uppercase()))
            .then(|| Self(code.to_owned()))
    }

    /// The code.
    #[must_use]
    pub fn code(&self) -> &str {
        &self.0
    }
}

/// All that `job.toml` says.
#[derive(Debug, Clone, PartialEq)]
pub struct JobFacts {
    /// Name of the job.
    pub name: String,
    /// The firm that prepares the slab.
    pub contractor: String,
    /// Whom it is for.
    pub client: Client,
    /// Marks a scenario that was made up; every document says so.
    pub invented: bool,
    /// The units that a person reads first.
    pub units: UnitSystem,
    /// The language of its papers.
    pub language: Language,
    /// The language of the cards for the crew, where it is another.
    pub crew_language: Option<Language>,
    /// The currency of every amount.
    pub currency: Currency,
    /// The slab.
    pub slab: Slab,
    /// What the site allows.
    pub constraints: Constraints,
    /// Wages and the like.
    pub rates: Rates,
    /// Overhead and margin.
    pub money: MoneyRules,
    /// What time and dust are worth when plans are weighed.
    pub weights: Weights,
    /// Limits that rules compare with.
    pub limits: Limits,
    /// What is not known.
    pub uncertainty: Uncertainty,
    /// How likely the worse answers to open questions are.
    pub chances: Chances,
    /// What tests cost.
    pub test_costs: TestCosts,
    /// Machines at hand by their catalogue name: these need no hire.
    pub machines_owned: Vec<String>,
    /// What the site asks for beside the preparation itself.
    pub site_items: Vec<SiteItem>,
    /// Treatments of cracks and joints that somebody decided.
    pub treatments: Vec<DecidedTreatment>,
    /// Unlikely readings that somebody stands by.
    pub confirmed: Vec<Confirmed>,
    /// Falls that zones must have.
    pub drainage: Vec<Drainage>,
    /// Hidden damage found since the bid.
    pub change_orders: Vec<ChangeOrder>,
    /// Areas that were prepared.
    pub prepared: Vec<Prepared>,
    /// What acceptance asks for.
    pub acceptance: AcceptanceRules,
    /// Signed locates.
    pub locates: Vec<Locate>,
    /// Consents to marking tests.
    pub consents: Vec<Consent>,
    /// Decisions against findings.
    pub overrules: Vec<Overrule>,
    /// Decisions about moisture; the latest of a zone holds.
    pub moisture_decided: Vec<MoistureDecided>,
    /// Films that stay.
    pub film_decided: Vec<FilmDecided>,
    /// Lead and asbestos that are gone.
    pub abatements: Vec<Abatement>,
    /// Conditions of those decisions that somebody has signed.
    pub sign_offs: Vec<SignOff>,
}
