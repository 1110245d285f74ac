//! Findings, unknowns and the recommendation.

use std::fmt;

use schemars::JsonSchema;
use serde::Serialize;
use tooth_measure::choice::{Choice as _, choices};
use tooth_measure::say::{Argument, Said, both, detail, said};
use tooth_measure::{Money, Source};

use super::look::Look;
use crate::survey::{FeatureId, Matter, ReadingId, ReleaseCondition, SystemId};

choices! {
    /// What a finding asks for, mildest first.
    FindingState {
        /// As it should be.
        Fine = "fine";
        /// Preparation takes care of it.
        Prepare = "prepare";
        /// Somebody signs or agrees before the step that it touches.
        Hold = "hold";
        /// A person must choose between ways.
        Decide = "decide";
        /// Repair before preparation.
        Repair = "repair";
        /// An engineer or licensed specialist must look first.
        Engineer = "engineer";
        /// This slab does not carry this system.
        NotACandidate = "not_a_candidate";
    }
}
choices! {
    /// What to do about a zone.
    Recommendation {
        /// Prepare it.
        Go = "go";
        /// Repair, then prepare.
        RepairFirst = "repair_first";
        /// Not enough is known.
        TestMore = "test_more";
        /// Ask an engineer or licensed specialist.
        Engineer = "engineer";
        /// Do not bid.
        DoNotBid = "do_not_bid";
    }
}

/// A person's decision against a finding.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Overruled {
    /// Who.
    pub by: String,
    /// Licence of an engineer or specialist; null for others.
    pub licence: Option<String>,
    /// Date, ISO 8601.
    pub on: String,
    /// Why.
    pub reason: String,
    /// The drawing or letter on which it stands; null if none.
    pub drawing: Option<String>,
    /// On what terms.
    pub conditions: Vec<ReleaseCondition>,
}

impl Overruled {
    /// Two decisions on one finding: both are told, and the terms of both hold.
    fn joined(one: Option<String>, other: Option<String>) -> Option<String> {
        match (one, other) {
            (Some(one), Some(other)) if one != other => Some(format!("{one}; {other}")),
            (one, other) => one.or(other),
        }
    }

    pub(crate) fn and(self, other: Self) -> Self {
        let text =
            |one: String, other: String| Self::joined(Some(one), Some(other)).unwrap_or_default();
        Self {
            by: text(self.by, other.by),
            licence: Self::joined(self.licence, other.licence),
            on: text(self.on, other.on),
            reason: text(self.reason, other.reason),
            drawing: Self::joined(self.drawing, other.drawing),
            conditions: self.conditions.into_iter().chain(other.conditions).collect(),
        }
    }
}

choices! {
    /// Where a setting stands.
    SettingOf {
        /// The job's limits.
        Limits = "limits";
        /// The sheet of the system.
        System = "system";
    }
}

/// A setting that a finding used.
#[derive(Debug, Clone, PartialEq)]
pub struct Setting {
    /// Where it stands.
    pub of: SettingOf,
    /// Its field.
    pub name: &'static str,
    /// Its value, with its unit.
    pub value: Argument,
}

impl Setting {
    /// As it would stand in a file.
    #[must_use]
    pub fn said(&self) -> Said {
        let name = format!("{}.{}", self.of.key(), self.name);
        said!("setting-and-value", name = name, value = self.value.clone())
    }
}

fn as_text<S: serde::Serializer>(
    setting: &Option<Setting>,
    serializer: S,
) -> Result<S::Ok, S::Error> {
    match setting {
        Some(setting) => setting.said().serialize(serializer),
        None => serializer.serialize_str(""),
    }
}

/// Something found in a zone.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Finding {
    /// The rule's name.
    pub code: Matter,
    /// What it asks for.
    pub state: FindingState,
    /// What was found and what follows, in a sentence or two.
    pub reason: Said,
    /// What it rests on: `reading:ID`, `feature:ID`, `scan:NAME`, `job:FIELD`,
    /// `system:ID`.
    pub evidence: Vec<Evidence>,
    /// Where the rule comes from.
    pub source: Source,
    /// The setting that it used, with its value, as one text; empty where none.
    #[serde(serialize_with = "as_text")]
    #[schemars(with = "String")]
    pub setting: Option<Setting>,
    /// A person's decision against it, null if none.
    pub overruled: Option<Overruled>,
}

impl Finding {
    /// Whether a person's word lifts it. What belongs to an engineer or specialist takes
    /// a licence; hazards to people are settled by tests and signatures alone.
    #[must_use]
    pub fn can_be_overruled(&self, licensed: bool) -> bool {
        if self.code.is_settled_by_tests() {
            return false;
        }
        licensed || !matches!(self.state, FindingState::Engineer | FindingState::NotACandidate)
    }
}

choices! {
    /// A fact of the job that a finding rests on.
    JobFact {
        /// Falls to drains.
        Drainage = "drainage";
        /// How patches are squared up.
        PatchRule = "patch_rule";
        /// Vapour retarder below the slab.
        VapourRetarder = "slab.vapour_retarder";
        /// What was decided about moisture.
        MoistureDecision = "moisture_decision";
        /// Whether it freezes wet.
        FreezeThaw = "slab.freeze_thaw";
        /// Fire, frost, flood.
        PastDamage = "slab.past_damage";
        /// The texture of an area that stays.
        TextureStays = "texture_stays";
        /// The day on which it was cast.
        Cast = "slab.cast";
        /// Tendons.
        PostTensioned = "slab.post_tensioned";
        /// What carries the slab.
        Support = "slab.support";
        /// Signed locates.
        Locate = "locate";
        /// What lies in the slab.
        EmbeddedItems = "slab.embedded_items";
    }
}

/// What a finding rests on. In JSON `reading:ID`, `feature:ID`, `scan:NAME`, `job:FIELD`,
/// `system:ID`.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Evidence {
    /// A reading.
    Reading(ReadingId),
    /// A mark on the plan.
    Feature(FeatureId),
    /// A scan of the surface, by name.
    Scan(String),
    /// The sheet of a system.
    System(SystemId),
    /// A fact of the job.
    Job(JobFact),
    /// A change order, by name.
    ChangeOrder(String),
}

impl fmt::Display for Evidence {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Reading(id) => write!(f, "reading:{id}"),
            Self::Feature(id) => write!(f, "feature:{id}"),
            Self::Scan(name) => write!(f, "scan:{name}"),
            Self::System(id) => write!(f, "system:{id}"),
            Self::Job(fact) => write!(f, "job:{}", fact.key()),
            Self::ChangeOrder(id) => write!(f, "job:change_order.{id}"),
        }
    }
}

impl Serialize for Evidence {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl JsonSchema for Evidence {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Evidence".into()
    }

    fn json_schema(generator: &mut schemars::SchemaGenerator) -> schemars::Schema {
        String::json_schema(generator)
    }
}

/// What a question is about, where its answers can be reckoned through.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Ask {
    /// Whether a film keeps water out of the bare slab.
    Film,
    /// Whether a film or a dense surface does.
    FilmOrDense,
    /// How deep an oil stain has gone.
    OilDepth(FeatureId),
    /// Whether its oil comes back.
    OilBleedBack(FeatureId),
    /// How deep a weak layer is.
    WeakDepth(FeatureId),
    /// The pull-off strength of the slab.
    PullOff,
    /// How wet the slab is.
    Moisture,
    /// Whether cracks move.
    CracksMove(Vec<FeatureId>),
    /// Whether water comes through cracks.
    CracksLeak(Vec<FeatureId>),
    /// Whether one side of cracks stands higher.
    CracksDisplaced(Vec<FeatureId>),
    /// Whether joints still work.
    JointsWork(Vec<FeatureId>),
    /// Whether old filler sits in joints.
    OldFiller(Vec<FeatureId>),
    /// Whether what was not sounded is hollow.
    Unsounded,
    /// Whether a doubtful place is hollow.
    Doubtful(FeatureId),
    /// What a hollow sound is.
    HollowKind(FeatureId),
    /// How deep a place is loose.
    HollowDepth(FeatureId),
    /// Whether bars show at a spall.
    SpallBars(FeatureId),
    /// Whether old films hold lead or asbestos.
    OldCoating,
    /// Whether the concrete deteriorates from inside.
    Deterioration,
    /// The profile as it is.
    Profile,
    /// What carries the slab, or what was done to it.
    Structure,
    /// Where things lie in the slab.
    Locate,
    /// Anything else: due, and not reckoned.
    Due,
}

/// Something not known yet.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Unknown {
    /// The rule that asks.
    pub code: Matter,
    /// What is not known.
    pub what: Said,
    /// The cheapest test that settles it, and where.
    pub test: Said,
    /// How many more of it.
    pub count: u32,
    /// Whether the recommendation hangs on it; else it is due before the work starts.
    pub decides: bool,
    /// What each outcome would lead to.
    pub leads_to: Said,
    /// What settling it costs; null where nobody has reckoned it.
    pub costs: Option<Money>,
    /// What settling it saves on this job in expectation; null where nobody has reckoned it.
    pub saves: Option<Money>,
    /// What it is about.
    #[serde(skip)]
    pub ask: Ask,
}

/// What a rule says.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Outcome {
    Found(Finding),
    NotKnown(Gap),
}

/// What a rule asks for; [`Unknown`] says besides what its answers lead to.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Gap {
    pub(crate) code: Matter,
    what: Said,
    test: Said,
    count: u32,
    pub(crate) decides: bool,
    ask: Ask,
}

impl Gap {
    pub(crate) fn in_full(self, look: &Look<'_>) -> Unknown {
        let leads_to = leads_to(self.code, look);
        let Self { code, what, test, count, decides, ask } = self;
        Unknown { code, what, test, count, decides, leads_to, costs: None, saves: None, ask }
    }
}

pub(crate) fn found(
    code: Matter,
    state: FindingState,
    reason: Said,
    evidence: Vec<Evidence>,
    source: Source,
) -> Outcome {
    Outcome::Found(Finding {
        code,
        state,
        reason,
        evidence,
        source,
        setting: None,
        overruled: None,
    })
}

impl Outcome {
    /// Says what a question is about.
    pub(crate) fn about(mut self, ask: Ask) -> Self {
        if let Self::NotKnown(gap) = &mut self {
            gap.ask = ask;
        }
        self
    }

    /// Says which setting a finding rests on.
    pub(crate) fn by_setting(
        mut self,
        of: SettingOf,
        name: &'static str,
        value: impl Into<Argument>,
    ) -> Self {
        if let Self::Found(finding) = &mut self {
            finding.setting = Some(Setting { of, name, value: value.into() });
        }
        self
    }
}

fn not_known(code: Matter, what: Said, test: Said, count: u32, decides: bool) -> Outcome {
    Outcome::NotKnown(Gap { code, what, test, count, decides, ask: Ask::Due })
}

/// What the answers to a rule's question lead to.
pub(crate) fn leads_to(code: Matter, look: &Look<'_>) -> Said {
    let limits = look.limits();
    match code {
        Matter::Scaling => said!(
            "scaling-leads-to",
            medium_scaling = both(detail(limits.medium_scaling.value)),
            severe_scaling = both(detail(limits.severe_scaling.value))
        ),
        Matter::WeakLayer => said!(
            "weak-layer-leads-to",
            deepest_weak_layer = both(detail(limits.deepest_weak_layer.value))
        ),
        Matter::Plausibility => {
            said!("confirmed-it-counts-corrected")
        }
        Matter::Unsettled => said!("the-version-that-is-settled-decides"),
        Matter::Structure => {
            said!("on-the-ground-and-not-stressed-go")
        }
        Matter::EmbeddedItems => {
            said!("located-and-marked-cutting-may-start")
        }
        Matter::OldCoating => {
            said!("none-found-it-may-be-removed")
        }
        Matter::DeteriorationFromInside => {
            said!("none-found-go-on-found-not")
        }
        Matter::Cracks => {
            said!("dormant-and-narrow-prepared")
        }
        Matter::Joints => said!("works-carried-through-the-finish-does"),
        Matter::HollowConcrete => {
            said!("sound-go-on-loose-skin-cut-out")
        }
        Matter::Spalls => said!("no-bars-and-in-the-top-third"),
        Matter::Film => {
            said!("soaks-in-bare-beads-without-fizz")
        }
        Matter::CoatingIdentity => {
            said!("softens-or-peels-strip-or-scrape-cross")
        }
        Matter::Oil => said!("at-the-surface-scrubbed-deep-drawn-out"),
        Matter::PullOffStrength => {
            said!("reaches-the-limit-go-on-fails")
        }
        Matter::PullOffRetest => {
            said!("reaches-the-limit-the-system-may")
        }
        Matter::Evenness => said!("evenness-leads-to"),
        Matter::Rust => said!("rust-leads-to"),
        Matter::Efflorescence => said!("salts-lead-to"),
        Matter::Age => said!("old-enough-go-on-younger-wait"),
        Matter::Moisture => {
            said!("below-the-limit-go-on-above-wait")
        }
        Matter::SurfacePh => said!("within-the-limits-go-on-outside-rinse"),
        Matter::Profile | Matter::ProfileScan => {
            said!("within-the-range-it-stays-smoother")
        }
        Matter::ProductFit => {
            said!("the-sheet-names-the-class-and-its")
        }
        Matter::Climate => said!("within-the-limits-the-day-work-starts"),
        Matter::SeeThrough => {
            said!("agreed-and-signed-tests-and-steps")
        }
        Matter::SamplePanel => {
            said!("approved-full-work-at-the-panel-rate")
        }
        Matter::LowSpots => said!("low-filled-to-the-fall-high-enough"),
        Matter::ScratchHardness => said!("picks-the-bond-of-the-diamonds"),
        Matter::Carbonation | Matter::Chloride => {
            said!("below-the-limit-go-on-above")
        }
        Matter::Lime => said!("lime-leads-to"),
        Matter::FilmKept => said!("kept-film-leads-to"),
        Matter::Settlement
        | Matter::Texture
        | Matter::SmallDamage
        | Matter::RepairShare
        | Matter::DenseSurface
        | Matter::ExposedAggregate
        | Matter::Crazing
        | Matter::HiddenDamage => said!("settles-the-rule-that-asks"),
    }
}

/// A gap that the recommendation hangs on.
pub(crate) fn deciding(code: Matter, what: Said, test: Said, count: u32) -> Outcome {
    not_known(code, what, test, count, true)
}

/// A gap to close before the work starts.
pub(crate) fn before_work(code: Matter, what: Said, test: Said, count: u32) -> Outcome {
    not_known(code, what, test, count, false)
}
