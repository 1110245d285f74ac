//! `methods.toml`: own or changed machines and methods over the built-in catalogue.
//!
//! A `[[method]]` with the `id` of a built-in method changes it; one with a new `id`
//! names in `like` the method that it starts from. `remove = true` takes one away.

use tooth_job::methods::{Catalogue, Lane, Machine, Method, Spread, SurfaceWork, Work, built_in};
use tooth_job::survey::{Currency, Power};
use tooth_measure::say::{Said, said};
use tooth_measure::{Certainty, Money, MoneyPerHour, Quantity, Source, range};

use crate::limits;
use crate::text::{Faults, Fields, FormAsked, NameOf, Node, Value, quantity_of, toml};

const FILE: &str = "methods.toml";
const OWN: Source = Source::new("title-methods-toml-of-this-job", Certainty::DataSheet);

pub(super) fn read(text: &str, currency: Option<&Currency>, faults: &Faults) -> Catalogue {
    let node = toml(FILE, text, faults);
    let top = Fields::of(FILE, "", &node, faults);
    let mut catalogue = built_in();
    for table in top.tables("machine") {
        machine(&table, currency, &mut catalogue);
    }
    for table in top.tables("method") {
        method(&table, currency, &mut catalogue);
    }
    top.finish();
    if catalogue.machines.len() > limits::MACHINES {
        top.refuse(
            "machine",
            said!("at-most-machines", most = limits::MACHINES),
            catalogue.machines.len().to_string(),
        );
    }
    catalogue
}

fn name(table: &Fields<'_>) -> Option<String> {
    table.note("id", || FormAsked::NewName);
    let id = table.text("id")?;
    let good = id.len() <= 64 && id.chars().all(|c| c.is_ascii_alphanumeric() || c == '_');
    if !good {
        table.refuse("id", said!("letters-digits"), format!("`{id}`"));
    }
    good.then_some(id)
}

pub(super) fn machine(table: &Fields<'_>, currency: Option<&Currency>, catalogue: &mut Catalogue) {
    let Some(id) = name(table) else { return };
    let known = catalogue.machines.iter().position(|machine| machine.id == id);
    if table.flag_or("remove", false) {
        match known {
            Some(at) => {
                catalogue.machines.remove(at);
                // Without the machine there is no method that needs it.
                catalogue.methods.retain(|method| method.machine.as_deref() != Some(id.as_str()));
            }
            None => table.refuse("id", said!("a-built-in-machine-to-remove"), format!("`{id}`")),
        }
        table.finish();
        return;
    }
    let start = known.and_then(|at| catalogue.machines.get(at).cloned());
    let usual = start.clone().unwrap_or(Machine {
        id: id.clone(),
        name: id.as_str().into(),
        mobilisation: Money::ZERO,
        hour: MoneyPerHour::ZERO,
        power: Power::None,
        engine: false,
        door: None,
        mass: None,
        steepest: None,
    });
    if start.is_none() {
        for field in ["name", "mobilisation", "hour", "power"].into_iter().filter(|f| !table.has(f))
        {
            table.refuse(field, said!("this-field-of-a-new-machine"), said!("nothing"));
        }
    }
    let read = Machine {
        name: table.maybe_text("name").map_or(usual.name, Said::Given),
        mobilisation: table.maybe_money("mobilisation", currency).unwrap_or(usual.mobilisation),
        hour: table.maybe_money("hour", currency).unwrap_or(usual.hour),
        power: table.choice_or("power", usual.power),
        engine: table.flag_or("engine", usual.engine),
        door: table.maybe_quantity("door", &range::DOOR_WIDTH).or(usual.door),
        mass: table.maybe_quantity("mass", &range::MACHINE_MASS).or(usual.mass),
        steepest: table.maybe_quantity("steepest", &range::SHARE).or(usual.steepest),
        id,
    };
    table.finish();
    match known.and_then(|at| catalogue.machines.get_mut(at)) {
        Some(held) => *held = read,
        None => catalogue.machines.push(read),
    }
}

pub(super) fn method(table: &Fields<'_>, currency: Option<&Currency>, catalogue: &mut Catalogue) {
    let Some(id) = name(table) else { return };
    let known = catalogue.methods.iter().position(|method| method.id == id);
    if table.flag_or("remove", false) {
        match known {
            Some(at) => drop(catalogue.methods.remove(at)),
            None => table.refuse("id", said!("a-built-in-method-to-remove"), format!("`{id}`")),
        }
        table.finish();
        return;
    }
    table.note("like", || FormAsked::Name { of: NameOf::Method });
    let like = table.maybe_text("like");
    let start = match (&like, known) {
        (Some(like), _) => catalogue.method(like).cloned(),
        (None, Some(at)) => catalogue.methods.get(at).cloned(),
        (None, None) => None,
    };
    let Some(mut read) = start else {
        let known: Vec<&str> = catalogue.methods.iter().map(|m| m.id.as_str()).collect();
        let field = if like.is_some() { "like" } else { "id" };
        table.refuse(
            field,
            said!("a-method-of-the-catalogue-named-in-like", known = known.join(", ")),
            format!("`{}`", like.unwrap_or(id)),
        );
        return;
    };
    read.id = id;
    if let Some(name) = table.maybe_text("name") {
        read.name = Said::Given(name);
    }
    if let Some(instruction) = table.maybe_text("instruction") {
        read.instruction = Said::Given(instruction);
    }
    if let Some(crew) = table.maybe_whole("crew", 1, 20) {
        read.crew = crew as u8;
    }
    if let Some(set_up) = table.maybe_quantity("set_up", &range::TEST_TIME) {
        read.set_up = set_up;
    }
    table.note("machine", || FormAsked::Name { of: NameOf::Machine });
    if let Some(machine) = table.maybe_text("machine") {
        if catalogue.machine(&machine).is_none() {
            table.refuse("machine", said!("a-machine-of-the-catalogue"), format!("`{machine}`"));
        }
        read.machine = Some(machine);
    }
    work(table, currency, &mut read);
    read.wet = table.flag_or("wet", read.wet);
    read.source = OWN;
    table.finish();
    match known.and_then(|at| catalogue.methods.get_mut(at)) {
        Some(held) => *held = read,
        None => catalogue.methods.push(read),
    }
}

fn work(table: &Fields<'_>, currency: Option<&Currency>, method: &mut Method) {
    match &mut method.work {
        Work::Surface(work) => {
            spread(table, "rate", &range::AREA_RATE, &mut work.rate);
            if let Some(price) = table.maybe_money("consumables", currency) {
                work.consumables = price;
            }
            if let Some(edge) = table.maybe_quantity("unreached_edge", &range::DISTANCE) {
                work.unreached_edge = edge;
            }
            table.note_many("logged", true, || quantity_of(&range::AREA_RATE, 1, false));
            for text in table.texts("logged") {
                work.logged.extend(table.parsed("logged", &text, &range::AREA_RATE));
            }
            lane(table, work);
            if let Some(wait) = table.maybe_quantity("wait", &range::TEST_TIME) {
                work.wait = wait;
            }
            if let Some(depth) = table.maybe_quantity("depth_per_pass", &range::DEPTH) {
                work.depth_per_pass = depth;
            }
            work.soil = table.choice_or("soil", work.soil);
            work.film = table.choice_or("film", work.film);
            work.film_left = table.choice_or("film_left", work.film_left);
            work.residue = table.choice_or("residue", work.residue);
            work.exposure = table.choice_or("exposure", work.exposure);
            work.spoils = table.choice_or("spoils", work.spoils);
            work.uses_lime = table.flag_or("uses_lime", work.uses_lime);
        }
        Work::Line(work) => {
            spread(table, "rate", &range::LENGTH_RATE, &mut work.rate);
            if let Some(price) = table.maybe_money("consumables", currency) {
                work.consumables = price;
            }
        }
        Work::Patch(work) => {
            spread(table, "saw", &range::LENGTH_RATE, &mut work.saw);
            spread(table, "breaking", &range::VOLUME_RATE, &mut work.breaking);
            spread(table, "placing", &range::VOLUME_RATE, &mut work.placing);
            if let Some(price) = table.maybe_money("mortar", currency) {
                work.mortar = price;
            }
        }
        Work::ShallowPatch(work) => {
            spread(table, "edges", &range::LENGTH_RATE, &mut work.edges);
            spread(table, "placing", &range::VOLUME_RATE, &mut work.placing);
            if let Some(price) = table.maybe_money("mortar", currency) {
                work.mortar = price;
            }
            if let Some(depth) = table.maybe_quantity("least_depth", &range::DEPTH) {
                work.least_depth = depth;
            }
            if let Some(depth) = table.maybe_quantity("most_depth", &range::DEPTH) {
                work.most_depth = depth;
            }
            if let Some(wait) = table.maybe_quantity("wait", &range::TEST_TIME) {
                work.wait = wait;
            }
        }
        Work::Coat(work) => {
            spread(table, "rate", &range::AREA_RATE, &mut work.rate);
            if let Some(price) = table.maybe_money("material", currency) {
                work.material = price;
            }
            if let Some(most) =
                table.maybe_quantity("most_in_slab_humidity", &range::RELATIVE_HUMIDITY)
            {
                work.most_humidity = Some(most);
            }
        }
        Work::Piece(work) => {
            spread(table, "each", &range::TEST_TIME, &mut work.each);
            if let Some(price) = table.maybe_money("consumables", currency) {
                work.consumables = price;
            }
        }
        Work::Keep(work) => {
            spread(table, "rate", &range::AREA_RATE, &mut work.rate);
            if let Some(price) = table.maybe_money("consumables", currency) {
                work.consumables = price;
            }
        }
        Work::Fill(work) => {
            spread(table, "rate", &range::VOLUME_RATE, &mut work.rate);
            if let Some(price) = table.maybe_money("filler", currency) {
                work.filler = price;
            }
        }
    }
}

/// Width and overlap of a machine's lane; an overlap needs a width.
fn lane(table: &Fields<'_>, work: &mut SurfaceWork) {
    let width = table.maybe_quantity("lane_width", &range::LANE_WIDTH);
    let overlap = table.maybe_quantity("lane_overlap", &range::DISTANCE);
    let Some(width) = width.or(work.lane.map(|lane| lane.width)) else {
        if overlap.is_some() {
            table.refuse(
                "lane_width",
                said!("the-width-of-the-lane-that-overlaps"),
                said!("nothing"),
            );
        }
        return;
    };
    let overlap = overlap.or(work.lane.map(|lane| lane.overlap)).unwrap_or(width * 0.1);
    if overlap > width * 0.9 {
        table.refuse(
            "lane_overlap",
            said!("at-most-nine-tenths-of-the-lane-width"),
            format!("{overlap:?}"),
        );
        return;
    }
    work.lane = Some(Lane { width, overlap });
}

/// Three rates: least, likeliest, greatest.
fn spread<Q: Quantity + std::fmt::Debug>(
    table: &Fields<'_>,
    field: &str,
    range: &range::Range<Q>,
    held: &mut Spread<Q>,
) {
    table.note(field, || quantity_of(range, 3, false));
    let Some(node) = table.node(field) else {
        return;
    };
    let texts: Vec<&str> = match &node.value {
        Value::List(items) => items
            .iter()
            .filter_map(|Node { value, .. }| match value {
                Value::Text(text) => Some(text.as_str()),
                _ => None,
            })
            .collect(),
        _ => Vec::new(),
    };
    let [low, likely, high] = texts.as_slice() else {
        table.refuse(
            field,
            said!("three-texts-with-their-unit", units = Q::unit_list()),
            node.describe(),
        );
        return;
    };
    let rates = (
        table.parsed(field, low, range),
        table.parsed(field, likely, range),
        table.parsed(field, high, range),
    );
    let (Some(low), Some(likely), Some(high)) = rates else {
        return;
    };
    if low > likely || likely > high {
        table.refuse(
            field,
            said!("least-likeliest-greatest-in-this-order"),
            format!("{low:?}, {likely:?}, {high:?}"),
        );
        return;
    }
    *held = Spread { low, likely, high };
}
