//! The documents of the demo: their words are frozen, and what a person must find in
//! them is there.
#![expect(clippy::unwrap_used, clippy::panic, reason = "a test fails loudly")]

mod snapshot;

use std::path::Path;
use std::sync::OnceLock;

use tooth_documents::{
    Document, Focus, Issue, condition_report, plan_drawing, price_sheet, step_cards,
};
use tooth_formats::job_folder::{self, JobFolder};
use tooth_job::assessment::assess;
use tooth_job::estimate::estimate;
use tooth_job::plan::{Objective, Plan, plan};
use tooth_job::quantities::quantities;
use tooth_measure::Length;
use tooth_measure::chance::Seed;
use tooth_words::{Language, Words};

struct Documents {
    folder: JobFolder,
    plan: Plan,
    report: Document,
    cards: Document,
    sheet: Document,
    drawing: String,
}

fn made(job: &str, language: Language) -> Documents {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..").join(job);
    let folder = job_folder::read(&path).unwrap();
    let assessment = assess(&folder.survey, folder.patch_rule);
    let plan = plan(
        &folder.survey,
        &assessment,
        &folder.catalogue,
        folder.patch_rule,
        Objective::Cheapest,
    );
    let quantities = quantities(&folder.survey, &plan, &folder.catalogue, folder.patch_rule);
    let estimate = estimate(&folder.survey, &plan, &folder.catalogue, Seed(1));
    let photos: Vec<(String, Vec<u8>)> = folder
        .photos()
        .map(|file| (file.to_owned(), std::fs::read(path.join("photos").join(file)).unwrap()))
        .collect();
    let words = Words::new(language, folder.survey.facts.units);
    let issue = Issue {
        words,
        survey: &folder.survey,
        assessment: &assessment,
        plan: &plan,
        quantities: &quantities,
        estimate: &estimate,
        catalogue: &folder.catalogue,
        patch_rule: folder.patch_rule,
        photos: &photos,
        issued_on: jiff::civil::date(2026, 9, 14),
        digest: "000000000000",
        record: None,
        version: "test",
    };
    let drawing = plan_drawing(
        &folder.survey,
        folder.patch_rule,
        words,
        Focus::Whole,
        (Length::from_millimetres(180.0), Length::from_millimetres(150.0)),
    );
    Documents {
        report: condition_report(&issue).unwrap(),
        cards: step_cards(&issue).unwrap(),
        sheet: price_sheet(&issue).unwrap(),
        drawing: drawing.svg,
        plan: plan.clone(),
        folder: folder.clone(),
    }
}

fn demo() -> &'static Documents {
    static DEMO: OnceLock<Documents> = OnceLock::new();
    DEMO.get_or_init(|| made("demo", Language::English))
}

fn demo_in_spanish() -> &'static Documents {
    static DEMO: OnceLock<Documents> = OnceLock::new();
    DEMO.get_or_init(|| made("demo", Language::Spanish))
}

fn plan_of_demo() -> &'static Plan {
    &demo().plan
}

/// The words of a document, a page after the other, as a diff can show them.
fn words(document: &Document) -> String {
    let pages = document.text.iter().enumerate();
    pages.map(|(i, text)| format!("=== page {} ===\n{text}\n", i + 1)).collect()
}

#[test]
fn the_words_of_every_document_are_as_frozen() {
    snapshot::compare("condition-report.txt", &words(&demo().report));
    snapshot::compare("step-cards.txt", &words(&demo().cards));
    snapshot::compare("price-sheet.txt", &words(&demo().sheet));
    snapshot::compare("plan.svg", &demo().drawing);
    snapshot::compare("condition-report.es.txt", &words(&demo_in_spanish().report));
    snapshot::compare("step-cards.es.txt", &words(&demo_in_spanish().cards));
    snapshot::compare("price-sheet.es.txt", &words(&demo_in_spanish().sheet));
}

#[test]
fn the_longer_words_of_spanish_keep_every_card_on_its_sheet_and_its_stops() {
    let (english, spanish) = (&demo().cards.text, &demo_in_spanish().cards.text);
    assert_eq!(english.len(), spanish.len(), "a card runs onto a second sheet");
    for (english, spanish) in english.iter().zip(spanish) {
        assert_eq!(english.contains("STOP"), spanish.contains("ALTO"), "{english}\n{spanish}");
    }
    assert!(english.iter().any(|card| card.contains("STOP")));
}

#[test]
fn the_same_job_gives_the_same_bytes() {
    let again = made("demo", Language::English);
    assert_eq!(demo().report.pdf, again.report.pdf);
    assert_eq!(demo().cards.pdf, again.cards.pdf);
    assert_eq!(demo().sheet.pdf, again.sheet.pdf);
}

#[test]
fn every_document_of_an_invented_job_says_so() {
    for document in [&demo().report, &demo().cards, &demo().sheet] {
        assert!(flat(document).to_lowercase().contains("invented scenario"));
    }
}

/// All words with single spaces, whatever the lines.
fn flat(document: &Document) -> String {
    document.text.join(" ").split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn every_reading_and_finding_stands_in_the_report_by_its_name() {
    let text = flat(&demo().report);
    for reading in &demo().folder.survey.readings {
        assert!(text.contains(reading.id.as_str()), "reading {} is missing", reading.id);
    }
    for feature in
        demo().folder.survey.features.iter().filter(|f| f.seen != tooth_job::survey::Seen::Wall)
    {
        assert!(text.contains(feature.id.as_str()), "finding {} is missing", feature.id);
    }
}

#[test]
fn the_client_does_not_read_the_margin_and_the_office_does() {
    assert!(!flat(&demo().report).contains("margin, 12"));
    assert!(flat(&demo().sheet).contains("margin, 12 % of the price"));
}

#[test]
fn report_and_cards_carry_cautions_that_defer() {
    for document in [&demo().report, &demo().cards] {
        let text = flat(document);
        assert!(text.contains("local codes"), "no deferral");
        assert!(text.contains("Old coatings and adhesives"));
        assert!(text.to_lowercase().contains("silica"));
    }
}

#[test]
fn a_card_that_cuts_an_unlocated_slab_says_stop() {
    let card =
        demo().cards.text.iter().map(|page| page.split_whitespace().collect::<Vec<_>>().join(" "));
    let patching = card
        .into_iter()
        .find(|page| page.contains("Café") && page.contains("Cut out and patch"))
        .unwrap();
    assert!(patching.contains("STOP") && patching.contains("signed locate"), "{patching}");
}

#[test]
fn every_card_is_one_sheet() {
    let mut sheets = 0;
    let (mut driven, mut placed) = (0, 0);
    for zone in plan_of_demo().zones.iter().filter(|zone| !zone.steps.is_empty()) {
        // How to drive stands on a sheet of its own, after the card of the step.
        let lanes = zone.steps.iter().filter(|step| zone.layout_of(step).is_some());
        driven += lanes.count();
        // So does where to cut, rout, seal, patch and fill.
        placed += zone.steps.iter().filter(|step| !step.features.is_empty()).count();
        sheets += zone.steps.len() + 1;
    }
    assert!(driven > 0, "the demo has no step that is driven in lanes");
    assert!(placed > 0, "the demo has no crack, joint, patch or low spot to treat");
    assert_eq!(
        demo().cards.text.len(),
        sheets + driven + placed,
        "a card for each step, one more for each that is driven or has its places, one before each system"
    );
}

#[test]
fn quantities_stand_in_both_unit_systems() {
    let text = flat(&demo().report);
    for pair in ["1,438 ft² (134 m²)", "psi (", "°F ("] {
        assert!(text.contains(pair), "{pair}");
    }
}

#[test]
fn the_plan_has_scale_north_and_a_legend_of_what_is_on_it() {
    let svg = &demo().drawing;
    for word in [
        "Scale 1 : ",
        ">N<",
        "sure hollow",
        "doubtful",
        "expansion joint",
        "item in the slab",
        "sample panel",
    ] {
        assert!(svg.contains(word), "{word}");
    }
    // Black, white and grey only: it must read from a black-and-white printer.
    let colours = svg.match_indices("#").filter_map(|(at, _)| svg.get(at + 1..at + 7));
    for colour in colours.filter(|c| c.chars().all(|c| c.is_ascii_hexdigit())) {
        let (r, g, b) = (&colour[0..2], &colour[2..4], &colour[4..6]);
        assert!(r == g && g == b, "#{colour} is a colour");
    }
}

/// Whoever cuts a stressed deck reads the engineer's terms and sees the tendon on the sheet.
#[test]
fn the_terms_of_a_release_and_the_tendon_stand_on_the_sheet_that_they_bind() {
    let deck = made("examples/stressed-deck", Language::English);
    let flat_card = |card: &String| card.split_whitespace().collect::<Vec<_>>().join(" ");
    let cards: Vec<String> = deck.cards.text.iter().map(flat_card).collect();
    let binds = |text: &str| cards.iter().filter(|card| card.contains(text)).count();
    let terms = ["shore below H1", "engineer has marked the cut", "no saw over tendon T1"];
    for term in terms {
        let cards = cards.iter().filter(|card| card.contains(term));
        assert!(cards.clone().any(|card| card.contains("Cut out and patch")), "{term}");
    }
    assert!(
        binds("tendon, cover 2 in (50.8 mm), and the cut goes 2 in (50.8 mm) deep") >= 2,
        "on the sheet and its drawing"
    );
    assert_eq!(binds("T2: post"), 0, "far from the cut");
    assert!(flat(&deck.sheet).contains("H2"), "what others repair is a line of the price");
    assert!(flat(&deck.report).contains("S-4 revision B"));
}

#[test]
fn a_rejected_slab_has_a_report_and_no_cards() {
    let rejected = made("examples/rejected-slab", Language::English);
    assert!(flat(&rejected.report).contains("DO NOT BID"));
    assert!(flat(&rejected.cards).contains("No step to do."));
}
