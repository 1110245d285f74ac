//! A slab of which little is said, as a survey: what was said and what is taken for the rest,
//! as marks and facts. The stream judges and prices it as any other.

use tooth_measure::say::{Said, said};
use tooth_measure::{
    Angle, Area, Fraction, Length, MoneyPerArea, Outline, Path, Point, Quantity as _, UnitSystem,
    WorkTime,
};

use super::told::{CracksSeen, FilmBuild, FinishWanted, Product, SurfaceNow, Told, to_the_grid};
use crate::survey::{
    AcceptanceRules, Answer, Building, Chances, Client, Constraints, CrackMovement, Dust, Exposure,
    Feature, FeatureId, FilmCondition, FilmDecided, FilmKind, FilmMaterial, FilmWay, Hollow,
    HollowKind, JobFacts, KeptTexture, Limits, North, Place, Presence, PricedAmount, PullOffRule,
    Seen, Setting, SiteItem, SiteWork, Slab, SurfaceState, Survey, System, SystemId, TestCosts,
    ThicknessFrom, Weights, Zone, ZoneId,
};

/// One state that the slab may be in: every open question answered.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct State {
    pub(super) now: SurfaceNow,
    /// None as long as the stream's own assumption holds.
    pub(super) build: Option<FilmBuild>,
    pub(super) drinks: bool,
    pub(super) holds: bool,
    pub(super) cracks: CracksSeen,
    pub(super) hollow: bool,
    pub(super) oil: bool,
    pub(super) no_dust: bool,
    pub(super) no_water: bool,
    /// How far aggregate may show under a finish that shows it; none as long as nobody agreed.
    pub(super) exposure: Option<Exposure>,
    /// Whether the slab drinks more of the finish than was said.
    pub(super) thirsty: bool,
}

/// How much more a thirsty slab takes of the finish. Assumption.
pub(super) const THIRST: Fraction = Fraction::new(0.4);

/// Length of cracks by area. Assumptions: one along half the short side; a crack of 1.5 m in
/// every 10 m²; in every 4 m².
const SOME_CRACKS: CracksByArea = CracksByArea { length_m: 1.5, area_m2: 10.0 };
const MANY_CRACKS: CracksByArea = CracksByArea { length_m: 1.5, area_m2: 4.0 };
/// Width of a crack that somebody speaks of: a sixteenth of an inch. Assumption.
const CRACK_WIDTH: Length = Length::from_inches(0.0625);
/// Marks that are drawn at most; beyond that each is longer or larger.
const MOST_MARKS: f64 = 24.0;
/// A mark of oil or of loose concrete for every so much area. Assumption.
const AREA_PER_MARK: Area = Area::from_square_metres(20.0);
/// Share of the area under oil, and loose, where somebody speaks of it. Assumptions.
const OIL_SHARE: Fraction = Fraction::new(0.02);
const HOLLOW_SHARE: Fraction = Fraction::new(0.01);
/// One worker for a step. Assumption.
const TIME_PER_STEP: WorkTime = WorkTime::from_minutes(30.0);
/// Thickness that one or two coats, and many, are entered with. Assumptions.
const THIN_FILM: Length = Length::from_mils(4.0);
const THICK_FILM: Length = Length::from_mils(20.0);

/// The name of the one area, and of its system.
const AREA: &str = "slab";
const SYSTEM: &str = "finish";

struct CracksByArea {
    length_m: f64,
    area_m2: f64,
}

/// A rectangle with marks laid over it in rows.
struct Ground {
    length: Length,
    width: Length,
    units: UnitSystem,
}

impl Ground {
    fn of(told: &Told) -> Self {
        let units = told.firm.units;
        let (length, width) = told.size.sides(units);
        Self { length, width, units }
    }

    fn area(&self) -> Area {
        self.length * self.width
    }

    fn at(&self, x: Length, y: Length) -> Point {
        let x = to_the_grid(x.max(Length::ZERO).min(self.length), self.units);
        let y = to_the_grid(y.max(Length::ZERO).min(self.width), self.units);
        Point::new(x, y)
    }

    fn corner(&self) -> Point {
        self.at(self.length, self.width)
    }

    fn outline(&self) -> Option<Outline> {
        Outline::rectangle(Point::new(Length::ZERO, Length::ZERO), self.corner()).ok()
    }

    /// Middles of so many marks, spread in rows.
    fn middles(&self, count: u32) -> Vec<(Length, Length)> {
        let shape = self.length / self.width.max(Length::from_millimetres(1.0));
        let columns = (f64::from(count) * shape).sqrt().ceil().clamp(1.0, f64::from(count)) as u32;
        let rows = count.div_ceil(columns);
        (0..count)
            .map(|mark| {
                let (column, row) = (f64::from(mark % columns), f64::from(mark / columns));
                let x = self.length * ((column + 0.5) / f64::from(columns));
                let y = self.width * ((row + 0.5) / f64::from(rows));
                (x, y)
            })
            .collect()
    }

    /// Lines along the slab that are so long together.
    fn lines(&self, together: Length, each: Length) -> Vec<Place> {
        // No line is longer than most of the slab.
        let longest = self.length * 0.9;
        let least = (together / longest).ceil();
        let count = (together / each).round().clamp(1.0, MOST_MARKS).max(least) as u32;
        let half = together / f64::from(count) / 2.0;
        let line = |(x, y): (Length, Length)| {
            let x = x.max(half).min(self.length - half);
            Path::new(&[self.at(x - half, y), self.at(x + half, y)]).map(Place::Line)
        };
        self.middles(count).into_iter().filter_map(line).collect()
    }

    /// Squares that cover such a share of it together, off the middles by this part of a side.
    fn squares(&self, share: Fraction, aside: f64) -> Vec<Place> {
        let count = (self.area() / AREA_PER_MARK).ceil().clamp(1.0, MOST_MARKS) as u32;
        let each = self.area() * share / f64::from(count);
        let side = Length::from_metres(each.square_metres().max(0.0).sqrt()).min(self.width * 0.4);
        let square = |(x, y): (Length, Length)| {
            let (x, y) = (x + side * aside, y + side * aside);
            let half = side / 2.0;
            let other = Length::from_metres(each.square_metres() / side.metres() / 2.0);
            let corners = (self.at(x - other, y - half), self.at(x + other, y + half));
            Outline::rectangle(corners.0, corners.1).ok().map(Place::Patch)
        };
        self.middles(count).into_iter().filter_map(square).collect()
    }
}

/// The survey of a slab in a state; none where its size makes no rectangle.
pub(super) fn survey_of(told: &Told, state: State) -> Option<Survey> {
    let ground = Ground::of(told);
    let zone = Zone {
        id: ZoneId::new(AREA)?,
        name: told.names.area.clone(),
        outline: ground.outline()?,
        system: SystemId::new(SYSTEM)?,
        kept: kept(told, state.now),
        lot: None,
    };
    let system = system(told, state, zone.system.clone());
    Some(Survey {
        facts: facts(told, state, &ground, &zone),
        features: features(told, state, &ground),
        zones: vec![zone],
        systems: vec![system],
        readings: Vec::new(),
        questioned: Vec::new(),
        soundings: Vec::new(),
        scans: Vec::new(),
        chips: None,
        forecast: Vec::new(),
        clashes: Vec::new(),
        north: North(Angle::from_degrees(0.0)),
    })
}

/// A system of which no sheet is at hand: no limit is made up.
fn system(told: &Told, state: State, id: SystemId) -> System {
    let wanted = told.wanted;
    System {
        id,
        name: told.names.finish.clone(),
        class: wanted.class(),
        sheet: told.names.no_sheet.clone(),
        see_through: wanted.is_see_through(),
        thickness: wanted.usual_thickness(),
        thickness_from: ThicknessFrom::Peaks,
        profile: None,
        mechanical_preparation: Answer::Unknown,
        least_pull_off_strength: None,
        pull_off_rule: PullOffRule::EveryResult,
        most_in_slab_humidity: None,
        most_moisture_emission: None,
        ph: None,
        surface_temperature: None,
        dew_point_margin: None,
        most_air_humidity: None,
        dry_before: None,
        dry_after: None,
        least_window: None,
        over: None,
        least_age: None,
        absorbs_within: None,
        widest_crack: None,
        // Whether the stain reacts nobody has said: what would use its lime up stays away.
        needs_lime: wanted == FinishWanted::StainAndSealer,
        acid_etch: Answer::Unknown,
        agreed_exposure: state.exposure.filter(|_| wanted.is_see_through()),
        material: None,
    }
}

fn facts(told: &Told, state: State, ground: &Ground, zone: &Zone) -> JobFacts {
    let (firm, details) = (&told.firm, &told.details);
    let indoors = told.setting == Setting::Indoor;
    JobFacts {
        name: told.names.job.clone(),
        contractor: firm.name.clone(),
        client: Client { name: told.names.client.clone(), site: told.names.site.clone() },
        invented: false,
        units: firm.units,
        language: firm.language,
        crew_language: None,
        currency: firm.currency.clone(),
        slab: Slab {
            thickness: None,
            year_cast: details.year_cast,
            cast: None,
            support: details.support,
            post_tensioned: Answer::Unknown,
            vapour_retarder: Presence::Unknown,
            setting: told.setting,
            freeze_thaw: Answer::Unknown,
            embedded_items: Answer::Unknown,
            past_damage: Answer::Unknown,
            building: Building::Unknown,
            // No film is older than the slab that it lies on.
            oldest_coating_year: details.year_cast,
        },
        constraints: Constraints {
            dust: match (state.no_dust, indoors) {
                (true, _) => Dust::None,
                (false, true) => Dust::Controlled,
                (false, false) => Dust::Usual,
            },
            water: !state.no_water,
            engines_indoors: false,
            loud_work: true,
            power: details.power,
            door_width: None,
            vibration: true,
            loud_hours: None,
            most_machine_mass: None,
            slope: None,
        },
        rates: firm.rates,
        money: firm.money,
        weights: Weights::usual(firm.rates.labour),
        limits: Limits::default(),
        uncertainty: firm.uncertainty,
        chances: Chances::default(),
        test_costs: TestCosts::default(),
        machines_owned: firm.machines_owned.clone(),
        site_items: site_items(told, state, ground, zone),
        treatments: Vec::new(),
        confirmed: Vec::new(),
        drainage: Vec::new(),
        change_orders: Vec::new(),
        prepared: Vec::new(),
        acceptance: AcceptanceRules::default(),
        locates: Vec::new(),
        consents: Vec::new(),
        overrules: Vec::new(),
        moisture_decided: Vec::new(),
        film_decided: film_decided(told, state, zone).into_iter().collect(),
        abatements: Vec::new(),
        sign_offs: Vec::new(),
    }
}

/// Steps, and the finish itself where it is priced.
fn site_items(told: &Told, state: State, ground: &Ground, zone: &Zone) -> Vec<SiteItem> {
    let finish = &told.finish;
    let thirst = if state.thirsty { THIRST } else { Fraction::new(0.0) };
    let item = |what, amount, hours| SiteItem { what, zone: Some(zone.id.clone()), amount, hours };
    let poured = |what, product: Product| {
        let amount = PricedAmount::Pieces(product.containers(ground.area(), thirst), product.price);
        item(what, amount, WorkTime::ZERO)
    };
    let mut items = Vec::new();
    if told.details.steps > 0 {
        let amount = PricedAmount::Pieces(told.details.steps, tooth_measure::Money::ZERO);
        items.push(item(SiteWork::Steps, amount, TIME_PER_STEP * f64::from(told.details.steps)));
    }
    items.extend(finish.material.map(|product| poured(SiteWork::Finish, product)));
    items.extend(finish.sealer.map(|product| poured(SiteWork::FinishSealer, product)));
    // As a file says it: whole square units to two decimals, minutes.
    let area = match told.firm.units {
        UnitSystem::Si => Area::from_square_metres(hundredths(ground.area().square_metres())),
        UnitSystem::UsCustomary => Area::from_square_feet(hundredths(ground.area().square_feet())),
    };
    items.extend(finish.laying.map(|rate| {
        let minutes = (area * f64::from(finish.coats()) / rate).minutes().ceil();
        let amount = PricedAmount::Area(area, MoneyPerArea::ZERO);
        item(SiteWork::FinishLaying, amount, WorkTime::from_minutes(minutes))
    }));
    items.extend(finish.slip_additive.map(|price| {
        item(SiteWork::SlipAdditive, PricedAmount::Area(area, price), WorkTime::ZERO)
    }));
    items
}

fn hundredths(value: f64) -> f64 {
    (value * 100.0).round() / 100.0
}

/// Marks of one slab, numbered as they come.
struct Marks(Vec<Feature>);

impl Marks {
    fn add(&mut self, name: &str, place: Place, seen: Seen, note: &Said) {
        let number = self.0.len() + 1;
        if let Some(id) = FeatureId::new(&format!("{name}-{number}")) {
            self.0.push(Feature { id, place, seen, note: note.clone() });
        }
    }
}

fn features(told: &Told, state: State, ground: &Ground) -> Vec<Feature> {
    let details = &told.details;
    let mut marks = Marks(Vec::new());
    let noted = |was_said: bool| if was_said { said!("quick-said") } else { said!("quick-taken") };
    for wall in walls(told, ground) {
        marks.add("wall", wall, Seen::Wall, &noted(details.walls.is_some()));
    }
    let surface = noted(told.now != SurfaceNow::Unknown);
    let Some(outline) = ground.outline() else { return marks.0 };
    let whole = || Place::Patch(outline.clone());
    if let Some(kind) = film(state) {
        let thickness = state.build.map(|build| match build {
            FilmBuild::Thin => THIN_FILM,
            FilmBuild::Thick => THICK_FILM,
        });
        let thickness = thickness.filter(|_| kind != FilmKind::Adhesive);
        let (material, condition) = (FilmMaterial::default(), FilmCondition::Unknown);
        let seen = Seen::Film { kind, thickness, material, condition };
        marks.add("film", whole(), seen, &surface);
    }
    if state.now == SurfaceNow::ExposedSealed {
        let seen = Seen::Surface { state: SurfaceState::ExposedAggregate, depth: None };
        marks.add("texture", whole(), seen, &surface);
    }
    if state.now == SurfaceNow::StampedSealed {
        let seen = Seen::Surface { state: SurfaceState::Stamped, depth: None };
        marks.add("texture", whole(), seen, &surface);
    }
    if state.now == SurfaceNow::BareTrowelled && !state.drinks {
        let seen = Seen::Surface { state: SurfaceState::DenseTrowelled, depth: None };
        marks.add("dense", whole(), seen, &surface);
    }
    let cracks = noted(details.cracks.is_some());
    for line in cracked(state.cracks, ground) {
        let seen = Seen::Crack {
            width: CRACK_WIDTH,
            movement: CrackMovement::Unknown,
            said: None,
            leaking: Answer::Unknown,
            displaced: Answer::Unknown,
        };
        marks.add("crack", line, seen, &cracks);
    }
    if state.oil {
        let seen = || Seen::Stain { kind: crate::survey::Contaminant::Oil, depth: None };
        for spot in ground.squares(OIL_SHARE, -0.6) {
            marks.add("oil", spot, seen(), &noted(details.oil != Answer::Unknown));
        }
    }
    if state.hollow {
        let seen = || Seen::Hollow { sure: Hollow::Sure, kind: HollowKind::Unknown, depth: None };
        for spot in ground.squares(HOLLOW_SHARE, 0.6) {
            marks.add("hollow", spot, seen(), &noted(details.hollow != Answer::Unknown));
        }
    }
    marks.0
}

/// What lies on it.
fn film(state: State) -> Option<FilmKind> {
    match state.now {
        SurfaceNow::Sealed | SurfaceNow::ExposedSealed | SurfaceNow::StampedSealed => {
            Some(FilmKind::Sealer)
        }
        SurfaceNow::Coated => Some(FilmKind::Coating),
        SurfaceNow::Residue => Some(FilmKind::Adhesive),
        SurfaceNow::BareBroomed | SurfaceNow::BareTrowelled | SurfaceNow::Unknown => None,
    }
}

/// The word by which a sealer stays and is coated over; the assessment still asks for the tests.
fn film_decided(told: &Told, state: State, zone: &Zone) -> Option<FilmDecided> {
    let stays = told.wanted == FinishWanted::Recoat && state.holds;
    stays.then(|| FilmDecided {
        zone: zone.id.clone(),
        features: Vec::new(),
        way: FilmWay::RewetAndRecoat,
        by: told.names.it_holds.0.clone(),
        on: told.on,
        reason: told.names.it_holds.1.clone(),
    })
}

/// The texture that somebody has paid for: it stays where the finish shows it.
fn kept(told: &Told, now: SurfaceNow) -> Option<KeptTexture> {
    if !told.wanted.is_see_through() {
        return None;
    }
    match now {
        SurfaceNow::BareBroomed => Some(KeptTexture::Broomed),
        SurfaceNow::ExposedSealed => Some(KeptTexture::ExposedAggregate),
        SurfaceNow::StampedSealed => Some(KeptTexture::Stamped),
        _ => None,
    }
}

fn cracked(seen: CracksSeen, ground: &Ground) -> Vec<Place> {
    let by_area = |by: CracksByArea| {
        let each = Length::from_metres(by.length_m);
        let together = each * (ground.area().square_metres() / by.area_m2);
        ground.lines(together, each)
    };
    match seen {
        CracksSeen::None => Vec::new(),
        CracksSeen::Few => ground.lines(ground.width / 2.0, ground.width / 2.0),
        CracksSeen::Some => by_area(SOME_CRACKS),
        CracksSeen::Many => by_area(MANY_CRACKS),
    }
}

/// The walls that the slab stands against, beginning with a short side.
fn walls(told: &Told, ground: &Ground) -> Vec<Place> {
    let usual = if told.setting == Setting::Indoor { 4 } else { 1 };
    let count = usize::from(told.details.walls.unwrap_or(usual).min(4));
    let (far, none) = (ground.corner(), Length::ZERO);
    let corners = [
        Point::new(none, none),
        Point::new(none, far.y),
        far,
        Point::new(far.x, none),
        Point::new(none, none),
    ];
    match count {
        0 => Vec::new(),
        sides => Path::new(&corners[..=sides]).map(Place::Line).into_iter().collect(),
    }
}

/// Whether a figure is nothing.
pub(super) fn is_nothing(money: tooth_measure::Money) -> bool {
    money.si() <= 0.0
}
