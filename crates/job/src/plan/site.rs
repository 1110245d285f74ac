//! Which methods a zone and its site allow, and what must be signed before a step.

use tooth_measure::say::{Said, decimal, said};

use super::{Hold, RuledOut};
use crate::assessment::{Look, ZoneAssessment};
use crate::methods::{Catalogue, DustMade, FilmReach, Machine, Method, OilReach, Work};
use crate::survey::{
    Answer, Dust, Exposure, KnifeTest, Matter, Power, Reaction, Reading, Seen, Setting, SolventRub,
    System,
};
use tooth_measure::{Length, ProfileRange};

/// Methods by index in the catalogue, and those ruled out with the reason.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Allowed {
    pub(super) methods: Vec<usize>,
    pub(super) ruled_out: Vec<RuledOut>,
}

pub(super) fn allowed(look: &Look<'_>, catalogue: &Catalogue) -> Allowed {
    let mut said = Allowed { methods: Vec::new(), ruled_out: Vec::new() };
    for (index, method) in catalogue.methods.iter().enumerate() {
        match reason_against(look, method, catalogue) {
            Some(reason) => said.ruled_out.push(RuledOut { method: method.id.clone(), reason }),
            None => said.methods.push(index),
        }
    }
    said
}

pub(super) fn reason_against(
    look: &Look<'_>,
    method: &Method,
    catalogue: &Catalogue,
) -> Option<Said> {
    let site = &look.survey.facts.constraints;
    let indoors = look.survey.facts.slab.setting == Setting::Indoor;
    let dusty = match (site.dust, method.dust) {
        (Dust::None, DustMade::Controlled | DustMade::Open)
        | (Dust::Controlled, DustMade::Open) => true,
        (Dust::Usual, _) | (_, DustMade::None) | (Dust::Controlled, DustMade::Controlled) => false,
    };
    if dusty {
        return Some(said!("the-site-allows-here", dust = site.dust, dust_2 = method.dust));
    }
    if method.dust == DustMade::Open && indoors {
        return Some(said!("open-dust-indoors"));
    }
    if method.wet && !site.water {
        return Some(said!("the-site-allows-no-water"));
    }
    if method.loud && !site.loud_work {
        return Some(said!("the-site-allows-no-loud-work"));
    }
    if method.shakes && !site.vibration {
        return Some(said!("the-site-allows-no-vibration"));
    }
    if let Some(machine) = method.machine.as_deref().and_then(|id| catalogue.machine(id))
        && let Some(reason) = machine_against(machine, site, indoors, catalogue)
    {
        return Some(reason);
    }
    if let (Some(kept), Some(work)) = (look.zone.kept, method.surface())
        && work.spoils.reaches(kept)
    {
        return Some(said!("spoils-the-texture-that-stays", texture = kept));
    }
    if let Some(reason) = shown_against(look, method) {
        return Some(reason);
    }
    if look.is_gentle_first() && method.surface().is_some_and(|work| work.leaves.is_some()) {
        return Some(said!("no-sheet-asks-for-it-on-a-decorative-slab"));
    }
    surface_against(look, method).or_else(|| {
        // Patching has no way round cutting: it stays, held until the locate is signed.
        let blocked =
            method.cuts && look.cutting_is_blocked() && matches!(method.work, Work::Surface(_));
        blocked.then(|| said!("cuts-into-the-slab-and-no-signed"))
    })
}

/// What tests on this slab say against a method: films that hold, panels that took nothing.
fn shown_against(look: &Look<'_>, method: &Method) -> Option<Said> {
    let work = method.surface()?;
    let panel = look.features().find(|feature| {
        matches!(
            &feature.seen,
            Seen::SamplePanel { method: Some(tried), reaction: Some(Reaction::None), .. }
                if tried.as_str() == method.id
        )
    });
    if let Some(panel) = panel {
        return Some(said!("the-finish-did-not-take-on-which", mark = &panel.id));
    }
    let knives = look.knives();
    let scrapes = work.film_left != FilmReach::None;
    if scrapes && !knives.is_empty() && knives.iter().all(|(_, seen)| *seen == KnifeTest::Holds) {
        return Some(said!("the-film-holds-to-the-slab-under"));
    }
    let rubs = look.rubs();
    let strips = work.film != FilmReach::None
        && work.leaves.is_none()
        && !scrapes
        && work.liquid.litres_per_square_metre() > 0.0;
    let no_effect = |(_, seen): &(&Reading, SolventRub)| *seen == SolventRub::NoEffect;
    if strips && !rubs.is_empty() && rubs.iter().all(no_effect) {
        return Some(said!("solvent-has-no-effect-on-the-film"));
    }
    None
}

fn machine_against(
    machine: &Machine,
    site: &crate::survey::Constraints,
    indoors: bool,
    catalogue: &Catalogue,
) -> Option<Said> {
    if machine.engine && indoors && !site.engines_indoors {
        return Some(said!("engine-indoors", name = &machine.name));
    }
    // A generator stands outdoors with a cable in; where nothing loud may run it may not either.
    let helped = site.loud_work && catalogue.generator().is_some();
    if lacks_power(machine, site) && !helped {
        return Some(said!(
            "needs-the-site-has",
            name = &machine.name,
            power = machine.power,
            power_2 = site.power
        ));
    }
    if let (Some(mass), Some(most)) = (machine.mass, site.most_machine_mass)
        && mass > most
    {
        return Some(said!(
            "weighs-kg-the-floor-carries-kg",
            name = &machine.name,
            kilograms = decimal(mass.kilograms(), 0),
            kilograms_2 = decimal(most.kilograms(), 0)
        ));
    }
    if let (Some(steepest), Some(slope)) = (machine.steepest, site.slope)
        && slope > steepest
    {
        return Some(said!(
            "works-on-slopes-up-to-here",
            name = &machine.name,
            percent = decimal(steepest.percent(), 0),
            percent_2 = decimal(slope.percent(), 1)
        ));
    }
    match (machine.door, site.door_width) {
        (Some(needs), Some(door)) if needs > door => Some(said!(
            "passes-doors-from-mm-the-narrowest",
            name = &machine.name,
            millimetres = decimal(needs.millimetres(), 0),
            millimetres_2 = decimal(door.millimetres(), 0)
        )),
        _ => None,
    }
}

/// Whether the site has not the supply that a machine needs.
pub(super) fn lacks_power(machine: &Machine, site: &crate::survey::Constraints) -> bool {
    match machine.power {
        Power::None => false,
        Power::SinglePhase => site.power == Power::None,
        Power::ThreePhase => site.power != Power::ThreePhase,
    }
}

fn surface_against(look: &Look<'_>, method: &Method) -> Option<Said> {
    let (work, system) = (method.surface()?, look.system);
    let pads = system.soaks_in() || system.see_through || look.is_gentle_first();
    if work.opens_skin && !pads {
        return Some(said!("opens-only-for-what-soaks-in"));
    }
    if method.acid && system.acid_etch != Answer::Yes {
        return Some(match system.acid_etch {
            Answer::No => said!("the-system-sheet-forbids-an-acid-etch"),
            _ => said!("the-system-sheet-does-not-allow"),
        });
    }
    if work.uses_lime && system.needs_lime {
        return Some(said!("uses-up-the-lime-that-a-reactive"));
    }
    let agreed = agreed_exposure(system)?;
    (work.exposure > agreed).then(|| said!("agreed-is", exposure = work.exposure, agreed = agreed))
}

/// Methods that sample panels in this zone were prepared with, leaving the profile that came
/// out there and no other.
pub(super) fn tried(look: &Look<'_>, catalogue: &Catalogue) -> Vec<Method> {
    let panels = look.features().filter_map(|feature| match &feature.seen {
        Seen::SamplePanel { method: Some(method), profile: Some(profile), .. } => {
            Some((method, *profile))
        }
        _ => None,
    });
    let tried = panels.filter_map(|(name, profile)| {
        let mut method = catalogue.method(name.as_str())?.clone();
        if let Work::Surface(work) = &mut method.work {
            work.leaves = work.leaves.and(Some(ProfileRange::only(profile)));
        }
        Some(method)
    });
    // The latest panel of a method speaks for it.
    let mut latest: Vec<Method> = Vec::new();
    for method in tried {
        latest.retain(|known| known.id != method.id);
        latest.push(method);
    }
    latest
}

/// How far aggregate may show; none agreed under a see-through finish means not at all.
pub(super) fn agreed_exposure(system: &System) -> Option<Exposure> {
    system.see_through.then(|| system.agreed_exposure.unwrap_or(Exposure::Cream))
}

/// What a step of a zone waits for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Holds {
    locate: bool,
    laboratory: bool,
    opened: bool,
    panel: bool,
    oil: bool,
}

pub(super) fn holds(look: &Look<'_>, assessed: &ZoneAssessment, oil: OilReach) -> Holds {
    let open = |code: Matter| assessed.unknown.iter().any(|gap| gap.code == code);
    Holds {
        locate: look.cutting_is_blocked(),
        laboratory: open(Matter::OldCoating),
        opened: open(Matter::HollowConcrete),
        panel: open(Matter::SamplePanel),
        oil: oil != OilReach::None,
    }
}

impl Holds {
    pub(super) fn is_panel_due(&self) -> bool {
        self.panel
    }

    pub(super) fn of(&self, method: &Method) -> Vec<Hold> {
        let surface = method.surface();
        // Whatever opens the surface opens the film on it.
        let touches_film = match &method.work {
            Work::Surface(work) => {
                work.film != FilmReach::None || work.depth_per_pass > Length::ZERO
            }
            Work::Patch(_) | Work::ShallowPatch(_) | Work::Line(_) => true,
            Work::Fill(_) | Work::Coat(_) | Work::Piece(_) => false,
            Work::Keep(_) => true,
        };
        let first_of_full_work = surface.is_some_and(|work| work.leaves.is_some());
        [
            (self.locate && method.cuts, Hold::Locate),
            (self.laboratory && touches_film, Hold::Laboratory),
            (self.opened && matches!(method.work, Work::Patch(_)), Hold::OpenedSpot),
            (self.panel && first_of_full_work, Hold::SamplePanel),
            (self.oil && first_of_full_work, Hold::OilGone),
        ]
        .into_iter()
        .filter_map(|(due, hold)| due.then_some(hold))
        .collect()
    }
}
