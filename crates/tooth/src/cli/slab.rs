//! What `quick` and `new` ask of a slab, as typed.

use std::path::PathBuf;

use clap::Args;
use tooth_formats::{COMMAND_LINE, Fault};
use tooth_job::quick::{
    CracksSeen, Details, FilmBuild, FinishPriced, FinishWanted, Firm, Names, Product, Size,
    SurfaceNow, Told,
};
use tooth_job::survey::{Answer, Currency, Exposure, Power, Setting, Support};
use tooth_measure::choice::Choice;
use tooth_measure::range::{self, Range};
use tooth_measure::say::{Language, Said, said, word};
use tooth_measure::{
    Area, AreaRate, Fraction, Length, Money, MoneyPerArea, MoneyPerHour, Quantity, UnitSystem,
    Volume, VolumePerArea, WorkTime,
};

use tooth_words::Words;

use crate::app::{App, FirmOf, Refusal};

/// A slab: size, what it is now, what it shall be; the rest is detail.
#[derive(Debug, Args)]
pub(super) struct SlabArguments {
    /// Length by width, or an area: 20ftx30ft, "12 m x 5 m", 600ft2.
    #[arg(
        long,
        value_name = "SIZE",
        required_unless_present = "schema",
        allow_hyphen_values = true
    )]
    size: Option<String>,
    /// What it is now: bare_broomed, bare_trowelled, sealed, painted_or_coated,
    /// glue_or_tile_residue, exposed_aggregate_sealed, stamped_sealed, unknown.
    #[arg(long, value_name = "SURFACE", required_unless_present = "schema")]
    now: Option<String>,
    /// What it shall be: clear_sealer, stain_and_sealer, dye_and_sealer, recoat_same_sealer,
    /// thin_coating, high_build_coating, self_levelling, microtopping.
    #[arg(long, value_name = "FINISH", required_unless_present = "schema")]
    wanted: Option<String>,
    /// Open to the sky (else as such a surface usually is).
    #[arg(long, conflicts_with = "indoor")]
    outdoor: bool,
    /// Under a roof.
    #[arg(long)]
    indoor: bool,
    /// A job folder whose rates, least charges, machines and methods are your firm's.
    #[arg(long, value_name = "JOB", help_heading = "Your firm")]
    firm: Option<PathBuf>,
    #[command(flatten)]
    details: DetailArguments,
    #[command(flatten)]
    finish: FinishArguments,
    #[command(flatten)]
    rates: RateArguments,
}

/// Detail that refines the answer and is never needed.
#[derive(Debug, Args)]
#[command(next_help_heading = "Detail, never needed")]
struct DetailArguments {
    /// Year in which the slab was cast.
    #[arg(long)]
    year: Option<i16>,
    /// Sides that stand against a wall, 0 to 4.
    #[arg(long, value_parser = clap::value_parser!(u8).range(0..=4))]
    walls: Option<u8>,
    /// How much film lies there: one_or_two_coats, many_coats.
    #[arg(long, value_name = "COATS")]
    film: Option<String>,
    /// Does a drop of water soak in on bare concrete? yes or no.
    #[arg(long, value_name = "ANSWER", num_args = 0..=1, default_missing_value = "yes")]
    drinks: Option<String>,
    /// Does the old sealer hold, and is it of the same kind? yes or no.
    #[arg(long, value_name = "ANSWER", num_args = 0..=1, default_missing_value = "yes")]
    holds: Option<String>,
    /// Cracks wide enough to be repaired: none, few, some, many.
    #[arg(long, value_name = "HOW_MANY")]
    cracks: Option<String>,
    /// Does some of it sound hollow? yes or no.
    #[arg(long, value_name = "ANSWER", num_args = 0..=1, default_missing_value = "yes")]
    hollow: Option<String>,
    /// Has oil soaked in? yes or no.
    #[arg(long, value_name = "ANSWER", num_args = 0..=1, default_missing_value = "yes")]
    oil: Option<String>,
    /// Dark patches that stay, white salts, a room below the ground? yes or no.
    #[arg(long, value_name = "ANSWER", num_args = 0..=1, default_missing_value = "yes")]
    damp: Option<String>,
    /// What the owner agreed may show: cream, fine, coarse.
    #[arg(long, value_name = "EXPOSURE")]
    show: Option<String>,
    /// Steps, worked by hand.
    #[arg(long, default_value_t = 0, value_parser = clap::value_parser!(u32).range(0..=500))]
    steps: u32,
    /// Is no dust allowed? yes or no.
    #[arg(long, value_name = "ANSWER", num_args = 0..=1, default_missing_value = "yes")]
    no_dust: Option<String>,
    /// Is no water allowed? yes or no.
    #[arg(long, value_name = "ANSWER", num_args = 0..=1, default_missing_value = "yes")]
    no_water: Option<String>,
    /// What carries the slab: on_grade, suspended, unknown.
    #[arg(long, value_name = "SUPPORT")]
    support: Option<String>,
    /// Supply at the slab: none, single_phase, three_phase.
    #[arg(long, value_name = "POWER")]
    power: Option<String>,
}

/// The finish itself, to be in the price.
#[derive(Debug, Args)]
#[command(next_help_heading = "The finish itself, to be in the price")]
struct FinishArguments {
    /// Coats of the finish.
    #[arg(long, value_parser = clap::value_parser!(u8).range(1..=10), requires = "coverage")]
    coats: Option<u8>,
    /// What it covers in one coat on this slab: 250ft2/gal, 6m2/L.
    #[arg(long, requires = "price")]
    coverage: Option<String>,
    /// What a container of it holds: 5gal, 10L (else one gal or L).
    #[arg(long, requires = "coverage")]
    container: Option<String>,
    /// What that container costs: 210USD.
    #[arg(long, requires = "coverage")]
    price: Option<String>,
    /// Coats of the sealer over it.
    #[arg(long, value_parser = clap::value_parser!(u8).range(1..=10), requires = "sealer_coverage")]
    sealer_coats: Option<u8>,
    /// What that sealer covers in one coat.
    #[arg(long, requires = "sealer_price")]
    sealer_coverage: Option<String>,
    /// What a container of it holds.
    #[arg(long, requires = "sealer_coverage")]
    sealer_container: Option<String>,
    /// What that container costs.
    #[arg(long, requires = "sealer_coverage")]
    sealer_price: Option<String>,
    /// Slip additive, by area: 0.06USD/ft2.
    #[arg(long, value_name = "PRICE")]
    slip_additive: Option<String>,
    /// What one worker lays in an hour, one coat: 300ft2/h.
    #[arg(long, value_name = "RATE")]
    laying: Option<String>,
    /// When it can be walked on after the last coat, by its sheet: 24h.
    #[arg(long, value_name = "TIME")]
    walk_on: Option<String>,
}

/// Rates, where no job folder of the firm gives them.
#[derive(Debug, Args)]
#[command(next_help_heading = "Your firm")]
struct RateArguments {
    /// The currency of every amount (else USD with feet, EUR with metres).
    #[arg(long, value_name = "CODE")]
    currency: Option<String>,
    /// One worker for an hour: 55USD/h.
    #[arg(long)]
    labour: Option<String>,
    /// People who come together.
    #[arg(long, value_parser = clap::value_parser!(u8).range(1..=40))]
    crew: Option<u8>,
    /// Crew and van to the site and back; more where it is far: 120USD.
    #[arg(long)]
    trip: Option<String>,
    /// The least that you work for: 500USD.
    #[arg(long)]
    least: Option<String>,
    /// Overhead on direct cost: 18%.
    #[arg(long)]
    overhead: Option<String>,
    /// Margin of the price: 15%.
    #[arg(long)]
    margin: Option<String>,
}

/// Whom and what the job is called after; words stand in for what nobody said.
#[derive(Debug, Default)]
pub(super) struct Called {
    pub(super) job: Option<String>,
    pub(super) client: Option<String>,
    pub(super) site: Option<String>,
    pub(super) contractor: Option<String>,
}

/// Reads flags and keeps every fault.
#[derive(Default)]
struct Flags(Vec<Fault>);

impl Flags {
    fn refuse(&mut self, flag: &str, expected: impl Into<Said>, found: &str) {
        let found = format!("`{}`", found.chars().take(60).collect::<String>());
        self.0.push(Fault::new(COMMAND_LINE, None, flag, expected, found));
    }

    fn take<T>(&mut self, flag: &str, text: &str, read: Result<T, Said>) -> Option<T> {
        match read {
            Ok(value) => Some(value),
            Err(expected) => {
                self.refuse(flag, expected, text);
                None
            }
        }
    }

    fn choice<C: Choice>(&mut self, flag: &str, text: Option<&str>) -> Option<C> {
        let text = text?;
        let expected = || said!("one-of", values = C::key_list());
        self.take(flag, text, C::from_key(&text.trim().to_lowercase()).ok_or_else(expected))
    }

    fn answer(&mut self, flag: &str, text: Option<&str>) -> Answer {
        self.choice(flag, text).unwrap_or_default()
    }

    fn quantity<Q: Quantity + std::fmt::Debug>(
        &mut self,
        flag: &str,
        text: Option<&str>,
        range: &Range<Q>,
    ) -> Option<Q> {
        let text = text?;
        let read = Q::parse(text).map_err(|error| error.said());
        self.take(flag, text, read.and_then(|value| range.check(value)))
    }

    /// An amount, with or without the currency's code, in the unit of its kind.
    fn money<Q: Quantity>(
        &mut self,
        flag: &str,
        text: Option<&str>,
        currency: &Currency,
    ) -> Option<Q> {
        let text = text?;
        let split = text.find(|c: char| c.is_ascii_alphabetic() || c == '/').unwrap_or(text.len());
        let (amount, rest) = text.split_at(split);
        let unit = rest.strip_prefix(currency.code()).unwrap_or(rest).trim();
        let amount = amount.trim().replace(',', "").parse::<f64>().ok();
        let amount = amount.filter(|amount| (0.0..=1e9).contains(amount));
        let per = Q::unit_list();
        let read = match (amount, per.is_empty()) {
            (Some(amount), true) if unit.is_empty() => Some(Q::from_si(amount)),
            (Some(amount), false) => Q::parse(&format!("{amount} {unit}")).ok(),
            _ => None,
        };
        let first = per.split(',').next().unwrap_or_default().trim();
        let code = currency.code();
        let like = said!("quick-an-amount-like", code = code, per = first);
        self.take(flag, text, read.ok_or(like))
    }

    fn size(&mut self, text: &str) -> Option<Size> {
        let typed = text.trim();
        let by = ["x", "X", "×", " by ", " por "].iter().find_map(|by| typed.split_once(by));
        let read = match by {
            None => Area::parse(typed).map(Size::Area).map_err(|_| said!("quick-size-like")),
            Some((one, other)) => {
                let (one, other) = (one.trim(), other.trim());
                // 20x30ft: the unit of the last stands for both.
                let unit = other.trim_start_matches(|c: char| !c.is_alphabetic() && c != '\'');
                let first = Length::parse(one).or_else(|_| Length::parse(&format!("{one} {unit}")));
                match (first, Length::parse(other)) {
                    (Ok(one), Ok(other)) => Ok(Size::Sides(one, other)),
                    _ => Err(said!("quick-size-like")),
                }
            }
        };
        self.take("--size", text, read.and_then(Size::checked))
    }

    /// A liquid: what it covers, in which container, at which price.
    fn product(
        &mut self,
        names: [&str; 3],
        coats: Option<u8>,
        texts: [Option<&str>; 3],
        currency: &Currency,
    ) -> Option<Product> {
        let [coverage, container, price] = texts;
        let covers = coverage?;
        let read = covers.split_once('/').and_then(|(area, volume)| {
            let one = Volume::parse(&format!("1 {}", volume.trim())).ok()?;
            let area = Area::parse(area.trim()).ok()?;
            let spread = one.litres() / area.square_metres();
            let spread = VolumePerArea::from_litres_per_square_metre(spread);
            let usual = spread.litres_per_square_metre() > 0.001;
            (usual && range::SPREAD_RATE.check(spread).is_ok()).then_some((spread, one))
        });
        let read = read.ok_or_else(|| said!("quick-what-a-coat-covers"));
        let read = self.take(names[0], covers, read);
        let holds = match container {
            None => None,
            Some(text) => {
                let read = Volume::parse(text).map_err(|error| error.said());
                let some = read.and_then(|volume| {
                    if volume.litres() >= 0.01 {
                        Ok(volume)
                    } else {
                        Err(said!("quick-a-container"))
                    }
                });
                Some(self.take(names[1], text, some)?)
            }
        };
        let price = self.money::<Money>(names[2], price, currency)?;
        let (spread, one) = read?;
        let container = holds.unwrap_or(one);
        Some(Product { coats: coats.unwrap_or(1), spread, container, price })
    }
}

impl SlabArguments {
    /// All that was typed, with the firm's own where a job folder gives it.
    pub(super) async fn told(
        &self,
        app: &App,
        called: Called,
    ) -> Result<(Told, Option<FirmOf>), Refusal> {
        let own = match &self.firm {
            Some(folder) => Some(app.firm(folder).await?),
            None => None,
        };
        let mut flags = Flags::default();
        let size = flags.size(self.size.as_deref().unwrap_or_default());
        let now = flags.choice::<SurfaceNow>("--now", self.now.as_deref());
        let wanted = flags.choice::<FinishWanted>("--wanted", self.wanted.as_deref());
        let units = match &own {
            Some(own) => own.firm.units,
            None => units_of(self.size.as_deref().unwrap_or_default()),
        };
        let language = own.as_ref().map(|own| own.firm.language);
        let language = app.language().or(language).unwrap_or(Language::English);
        let details = self.details.read(&mut flags);
        let firm = self.firm(&mut flags, own.as_ref(), units, language);
        let finish = firm.as_ref().map(|firm| self.finish.read(&mut flags, &firm.currency));
        let (Some(size), Some(now), Some(wanted), Some(firm), Some(finish), true) =
            (size, now, wanted, firm, finish, flags.0.is_empty())
        else {
            return Err(Refusal::Input(flags.0));
        };
        let setting = match (self.outdoor, self.indoor) {
            (true, _) => Some(Setting::Outdoor),
            (false, true) => Some(Setting::Indoor),
            (false, false) => None,
        };
        let names = names(&firm, (now, wanted, details.holds), called);
        let firm = Firm { name: names.1, ..firm };
        let told = Told {
            size,
            setting: setting.unwrap_or_else(|| now.usual_setting()),
            setting_said: setting.is_some(),
            now,
            wanted,
            details,
            finish,
            firm,
            names: names.0,
            on: app.today(),
        };
        match told.checked() {
            Ok(()) => Ok((told, own)),
            Err(expected) => Err(Refusal::typed("--now", expected, word(now))),
        }
    }

    fn firm(
        &self,
        flags: &mut Flags,
        own: Option<&FirmOf>,
        units: UnitSystem,
        language: Language,
    ) -> Option<Firm> {
        let typed = &self.rates;
        let usual = if units == UnitSystem::Si { "EUR" } else { "USD" };
        let code = typed.currency.as_deref().unwrap_or(usual);
        let currency = Currency::new(code);
        if currency.is_none() {
            flags.refuse("--currency", said!("quick-currency-like"), code);
        }
        let mut firm = match own {
            Some(own) => own.firm.clone(),
            None => Firm::assumed(String::new(), currency?, units, language),
        };
        firm.language = language;
        let currency = firm.currency.clone();
        if let (Some(_), Some(code)) = (own, &typed.currency)
            && *code != currency.code()
        {
            flags.refuse(
                "--currency",
                said!("quick-currency-of-the-firm", code = currency.code()),
                code,
            );
        }
        let labour = flags.money::<MoneyPerHour>("--labour", typed.labour.as_deref(), &currency);
        let trip = flags.money::<Money>("--trip", typed.trip.as_deref(), &currency);
        let least = flags.money::<Money>("--least", typed.least.as_deref(), &currency);
        let overhead =
            flags.quantity::<Fraction>("--overhead", typed.overhead.as_deref(), &range::SHARE);
        let margin =
            flags.quantity::<Fraction>("--margin", typed.margin.as_deref(), &range::MARGIN);
        firm.assumed &= labour.is_none() || least.is_none();
        firm.rates.labour = labour.unwrap_or(firm.rates.labour);
        firm.rates.trip = trip.unwrap_or(firm.rates.trip);
        firm.rates.crew = typed.crew.unwrap_or(firm.rates.crew);
        firm.money.least_for_a_job = least.unwrap_or(firm.money.least_for_a_job);
        firm.money.overhead = overhead.unwrap_or(firm.money.overhead);
        firm.money.margin = margin.unwrap_or(firm.money.margin);
        Some(firm)
    }
}

impl DetailArguments {
    fn read(&self, flags: &mut Flags) -> Details {
        if let Some(year) = self.year.filter(|year| !(1850..=2200).contains(year)) {
            flags.refuse(
                "--year",
                said!("a-whole-number-from", low = "1850", high = "2200"),
                &year.to_string(),
            );
        }
        Details {
            year_cast: self.year,
            walls: self.walls,
            build: flags.choice::<FilmBuild>("--film", self.film.as_deref()),
            drinks: flags.answer("--drinks", self.drinks.as_deref()),
            holds: flags.answer("--holds", self.holds.as_deref()),
            cracks: flags.choice::<CracksSeen>("--cracks", self.cracks.as_deref()),
            hollow: flags.answer("--hollow", self.hollow.as_deref()),
            oil: flags.answer("--oil", self.oil.as_deref()),
            exposure: flags.choice::<Exposure>("--show", self.show.as_deref()),
            damp: flags.answer("--damp", self.damp.as_deref()),
            steps: self.steps,
            no_dust: flags.answer("--no-dust", self.no_dust.as_deref()),
            no_water: flags.answer("--no-water", self.no_water.as_deref()),
            support: flags
                .choice::<Support>("--support", self.support.as_deref())
                .unwrap_or(Support::Unknown),
            power: flags
                .choice::<Power>("--power", self.power.as_deref())
                .unwrap_or(Power::SinglePhase),
        }
    }
}

impl FinishArguments {
    fn read(&self, flags: &mut Flags, currency: &Currency) -> FinishPriced {
        let texts = |three: [&Option<String>; 3]| three.map(|text| text.clone());
        let own = texts([&self.coverage, &self.container, &self.price]);
        let over = texts([&self.sealer_coverage, &self.sealer_container, &self.sealer_price]);
        let material = flags.product(
            ["--coverage", "--container", "--price"],
            self.coats,
            own.each_ref().map(Option::as_deref),
            currency,
        );
        let sealer = flags.product(
            ["--sealer-coverage", "--sealer-container", "--sealer-price"],
            self.sealer_coats,
            over.each_ref().map(Option::as_deref),
            currency,
        );
        let slip = self.slip_additive.as_deref();
        FinishPriced {
            material,
            sealer,
            slip_additive: flags.money::<MoneyPerArea>("--slip-additive", slip, currency),
            laying: flags.quantity::<AreaRate>(
                "--laying",
                self.laying.as_deref(),
                &range::AREA_RATE,
            ),
            walk_on: flags.quantity::<WorkTime>(
                "--walk-on",
                self.walk_on.as_deref(),
                &range::TEST_TIME,
            ),
        }
    }
}

/// Feet for who types feet.
fn units_of(size: &str) -> UnitSystem {
    let feet = ["f", "'", "in", "\""].iter().any(|sign| size.to_lowercase().contains(sign));
    if feet { UnitSystem::UsCustomary } else { UnitSystem::Si }
}

/// Names in the words of the job, and that of the firm.
fn names(
    firm: &Firm,
    (now, wanted, holds): (SurfaceNow, FinishWanted, Answer),
    called: Called,
) -> (Names, String) {
    let words = Words::new(firm.language, firm.units);
    let open = words.label("quick-name-not-said");
    let firm_name = if firm.name.is_empty() { open.clone() } else { firm.name.clone() };
    let called_firm = called.contractor.unwrap_or(firm_name);
    let or_open = |name: Option<String>| name.unwrap_or_else(|| open.clone());
    let named = Names {
        job: called.job.unwrap_or_else(|| words.say(&said!("quick-name-of-job", wanted = wanted))),
        client: or_open(called.client),
        site: or_open(called.site),
        area: words.say(&said!("quick-name-of-area", now = now)),
        finish: words.of(wanted),
        no_sheet: words.label("quick-no-sheet"),
        it_holds: match holds {
            Answer::Yes => (called_firm.clone(), words.label("quick-it-holds-said")),
            Answer::No | Answer::Unknown => {
                (words.label("quick-decided-by-nobody"), words.label("quick-it-holds-taken"))
            }
        },
    };
    (named, called_firm)
}
