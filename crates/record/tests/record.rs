//! The record: entries keep their bytes, nothing that was stated disappears without
//! being named, and no change of a chain stays unseen.
#![expect(clippy::unwrap_used, reason = "tests fail loudly")]

use std::collections::BTreeSet;

use jiff::Timestamp;
use proptest::prelude::*;
use proptest::sample::Index;
use tooth_record::chain::{
    Head, HeadSignature, InstallationKey, Link, Placed, PublicKey, Trust, TrustedHead, Verdict,
    Wrong, first_break, verify,
};
use tooth_record::{
    Content, ENTRY_BYTES, Edit, Entry, EntryFault, EntryId, Fact, FileHash, FileName, Folded,
    Issue, IssuedFile, JobId, Listing, Name, Origin, Reason, Replaced, Shown, State, Thing,
    ThingKind, Value, difference, fold, plain,
};

/// So many cases, and no file of failures beside the tests.
fn cases(cases: u32) -> ProptestConfig {
    ProptestConfig { cases, failure_persistence: None, ..ProptestConfig::default() }
}

fn id(number: u64) -> EntryId {
    let mut bytes = [0; 16];
    bytes[8..].copy_from_slice(&number.to_be_bytes());
    EntryId::from_bytes(bytes)
}

fn job() -> JobId {
    JobId::from_bytes(std::array::from_fn(|at| at as u8))
}

fn thing(text: &str) -> Thing {
    Thing::parse(text).unwrap()
}

fn reason() -> Reason {
    Reason::new("read off again").unwrap()
}

fn entry(number: u64, fact: Fact) -> Entry {
    Entry::new(id(number), Name::new("M. Adeyemi"), Name::new("tablet 2").unwrap(), None, fact)
}

fn stated(number: u64, of: &str, value: &str) -> Entry {
    entry(number, Fact::Stated { thing: thing(of), value: value.into() })
}

fn corrected(number: u64, of: &str, value: &str, replaces: &[u64]) -> Entry {
    let (value, replaces) = (value.into(), replaced(replaces));
    entry(number, Fact::Corrected { thing: thing(of), value, replaces, reason: reason() })
}

fn withdrawn(number: u64, of: &str, replaces: &[u64]) -> Entry {
    let replaces = replaced(replaces);
    entry(number, Fact::Withdrawn { thing: thing(of), replaces, reason: reason() })
}

fn replaced(numbers: &[u64]) -> Replaced {
    Replaced::new(numbers.iter().copied().map(id).collect()).unwrap()
}

fn folded(entries: &[Entry]) -> Folded<'_> {
    fold((1..).zip(entries))
}

fn state(folded: &Folded<'_>, of: &str) -> State {
    folded.things[&thing(of)].state()
}

fn shows(folded: &Folded<'_>, of: &str) -> Option<String> {
    match folded.things[&thing(of)].shown()?.content {
        Content::Value(value) => Some(value.as_str().unwrap().to_owned()),
        Content::File { hash, .. } => Some(hash.to_string()),
        Content::Withdrawn => None,
    }
}

// ---------------------------------------------------------------- random entries

/// Values as readable files give them. Numbers have at most three decimals here: see
/// `a_number_with_seventeen_digits_survives_an_entry`.
fn value() -> impl Strategy<Value = Value> {
    let text = prop_oneof![
        "[ -~]{0,12}",
        any::<String>().prop_map(|text| text.chars().take(12).collect::<String>()),
        prop::sample::select(vec!["1 1/4 in", "a,b\"c\"", "two\nlines\r\n", "\u{0}\u{7f}", "𝄞é"])
            .prop_map(str::to_owned),
    ];
    let leaf = prop_oneof![
        Just(Value::Null),
        any::<bool>().prop_map(Value::from),
        any::<i64>().prop_map(Value::from),
        any::<u64>().prop_map(Value::from),
        (-2_000_000i32..2_000_000).prop_map(|number| Value::from(f64::from(number) / 1000.0)),
        prop::sample::select(vec![-0.0, 0.1, 1e-7, 1e15, 9.1e15, 1e300]).prop_map(Value::from),
        text.prop_map(Value::from),
    ];
    let tree = leaf.prop_recursive(3, 24, 5, |inner| {
        prop_oneof![
            prop::collection::vec(inner.clone(), 0..5).prop_map(Value::Array),
            prop::collection::vec(("[a-zé\" ]{0,6}", inner), 0..5)
                .prop_map(|fields| Value::Object(fields.into_iter().collect())),
        ]
    });
    tree.prop_map(|mut value| {
        plain(&mut value);
        value
    })
}

fn entry_id() -> impl Strategy<Value = EntryId> {
    any::<[u8; 16]>().prop_map(EntryId::from_bytes)
}

fn hash() -> impl Strategy<Value = FileHash> {
    any::<[u8; 4]>().prop_map(|bytes| FileHash::of(&bytes))
}

fn file_name() -> impl Strategy<Value = FileName> {
    "((photos|sounding|texture)/([a-z0-9]{1,6}/)?)?[a-zé0-9][a-z0-9_ -]{0,8}[a-z0-9](\\.jpg)?"
        .prop_filter_map("a name of a device", |name| FileName::new(&name))
}

fn any_thing() -> impl Strategy<Value = Thing> {
    let kinds = vec![
        "job",
        "plan",
        "systems",
        "methods",
        "forecast",
        "job/slab",
        "locate/5f",
        "consent/5f",
        "overrule/5f",
        "feature/Z1",
        "system/thin",
        "machine/x",
        "method/y",
        "reading/R001",
        "reading/a/b é",
        "order/job.toml",
    ];
    prop::sample::select(kinds).prop_map(thing)
}

fn any_reason() -> impl Strategy<Value = Reason> {
    "[a-zé\"\\\\][a-z é,\"]{0,20}".prop_map(|text| Reason::new(&text).unwrap())
}

fn time() -> impl Strategy<Value = Timestamp> {
    (1_700_000_000i64..1_900_000_000, 0i32..1_000_000)
        .prop_map(|(second, micro)| Timestamp::new(second, micro * 1000).unwrap())
}

fn fact() -> impl Strategy<Value = Fact> {
    let replaces = || prop::collection::vec(entry_id(), 1..4);
    let issued = (file_name(), "[a-zé ]{0,9}", hash(), any::<u64>())
        .prop_map(|(name, what, hash, bytes)| IssuedFile { name, what, hash, bytes });
    let issue = (
        (any::<u64>(), any::<[u8; 32]>(), hash(), hash()),
        (any::<u64>(), prop::collection::vec(issued, 0..3), 1i16..13, 1i8..28),
    )
        .prop_map(|((entries, link, inputs, catalogue), (seed, documents, year, day))| Issue {
            entries,
            link: Link::from_bytes(link),
            inputs,
            catalogue,
            version: "0.1.0".into(),
            seed,
            objective: "cost".into(),
            own_machines: false,
            language: "en".into(),
            crew_language: "es".into(),
            issued_on: jiff::civil::date(2020 + year, 5, day),
            key: PublicKey::from_bytes(link),
            documents,
        });
    prop_oneof![
        (any_thing(), value()).prop_map(|(thing, value)| Fact::Stated { thing, value }),
        (any_thing(), value(), replaces(), any_reason()).prop_map(
            |(thing, value, replaces, reason)| Fact::Corrected {
                thing,
                value,
                replaces: Replaced::new(replaces).unwrap(),
                reason
            }
        ),
        (
            prop_oneof![any_thing(), file_name().prop_map(|n| Thing::file(&n))],
            replaces(),
            any_reason()
        )
            .prop_map(|(thing, replaces, reason)| Fact::Withdrawn {
                thing,
                replaces: Replaced::new(replaces).unwrap(),
                reason
            }),
        (file_name(), hash(), any::<u64>(), prop::collection::vec(entry_id(), 0..3)).prop_map(
            |(name, hash, bytes, replaces)| Fact::Attached { name, hash, bytes, replaces }
        ),
        (hash(), any_reason()).prop_map(|(hash, reason)| Fact::Erased { hash, reason }),
        issue.prop_map(Fact::Issued),
    ]
}

fn any_entry() -> impl Strategy<Value = Entry> {
    let author = prop::option::of("[A-Zé][a-z. \"]{0,12}".prop_map(|n| Name::new(&n).unwrap()));
    (entry_id(), author, prop::option::of(time()), fact()).prop_map(|(id, author, time, fact)| {
        Entry::new(id, author, Name::new("tablet 2").unwrap(), time, fact)
    })
}

// ---------------------------------------------------------------- entries

proptest! {
    #![proptest_config(cases(512))]

    #[test]
    fn an_entry_that_is_read_and_written_keeps_its_bytes(entry in any_entry()) {
        let bytes = entry.write().unwrap();
        prop_assert!(!bytes.iter().any(|byte| matches!(byte, b'\n' | b'\r')));
        let read = Entry::read(&bytes).unwrap();
        prop_assert_eq!(&read, &entry);
        prop_assert_eq!(read.write().unwrap(), bytes);
    }

    #[test]
    fn bytes_that_are_damaged_are_refused_or_read_but_never_a_panic(
        entry in any_entry(), at in any::<Index>(), byte in any::<u8>(), cut in any::<bool>(),
    ) {
        let mut bytes = entry.write().unwrap();
        let at = at.index(bytes.len());
        if cut { bytes.truncate(at) } else { bytes[at] = byte }
        match Entry::read(&bytes) {
            Ok(_) => prop_assert!(!cut),
            Err(fault) => {
                prop_assert!(!fault.expected.is_nothing() && !fault.found.is_nothing());
            }
        }
    }
}

proptest! {
    #![proptest_config(cases(256))]

    // Any number that a plan can hold: serde_json without `float_roundtrip` may read it
    // back one step beside.
    #[test]
    fn a_number_with_seventeen_digits_survives_an_entry(number in -1e3..1e3f64) {
        let mut value = Value::from(number);
        plain(&mut value);
        let entry = entry(1, Fact::Stated { thing: thing("plan"), value });
        let read = Entry::read(&entry.write().unwrap()).unwrap();
        prop_assert_eq!(read, entry);
    }
}

#[test]
fn a_whole_number_is_written_in_one_way_only() {
    let entry = entry(1, Fact::Stated { thing: thing("plan"), value: Value::from(1.0) });
    let bytes = String::from_utf8(entry.write().unwrap()).unwrap();
    let again = Entry::read(bytes.as_bytes()).unwrap().write().unwrap();
    assert_eq!(String::from_utf8(again).unwrap(), bytes);
}

#[test]
fn a_golden_entry_has_just_these_bytes() {
    let first = entry(
        1,
        Fact::Stated {
            thing: thing("reading/R001"),
            value: serde_json::json!({"value": "212", "unit": "psi"}),
        },
    );
    assert_eq!(String::from_utf8(first.write().unwrap()).unwrap(), GOLDEN[0]);
    for golden in GOLDEN {
        let read = Entry::read(golden.as_bytes()).unwrap();
        assert_eq!(String::from_utf8(read.write().unwrap()).unwrap(), golden);
    }
}

/// What refuses a line: the fault in words.
fn refused(line: &str) -> String {
    Entry::read(line.as_bytes()).unwrap_err().to_string()
}

const START: &str = r#"{"schema":1,"id":"00000000-0000-0000-0000-000000000001","author":null,"device":"tablet 2","device_time":null,"fact":"#;

fn with_fact(fact: &str) -> String {
    format!("{START}{fact}}}")
}

#[test]
fn what_is_no_entry_is_refused_with_what_is_wrong() {
    let good = with_fact(r#"{"stated":{"thing":"plan","value":1}}"#);
    assert!(Entry::read(good.as_bytes()).is_ok());
    let hash = FileHash::of(b"");
    let uuid = "00000000-0000-0000-0000-00000000000a";
    let long = "x".repeat(2001);
    let cases: Vec<(String, &[&str])> = vec![
        (String::new(), &["an-entry-of-the-record", "EOF"]),
        ("null".into(), &["an-entry-of-the-record"]),
        ("{}".into(), &["missing field"]),
        (good.replace("\"author\"", "\"by\""), &["unknown field `by`"]),
        (good.replace("{\"schema\"", "{\"more\":1,\"schema\""), &["unknown field `more`"]),
        (with_fact(r#"{"stated":{"thing":"plan","value":1,"why":"x"}}"#), &["unknown field `why`"]),
        (with_fact(r#"{"guessed":{"thing":"plan"}}"#), &["unknown variant `guessed`"]),
        (
            good.replace("\"schema\":1", "\"schema\":2,\"new\":true"),
            &["schema-of-a-newer-tooth", "Count(2)"],
        ),
        (good.replace("\"schema\":1", "\"schema\":7"), &["an-entry-of-schema-1", "Count(7)"]),
        (good.replace("\"schema\":1", "\"schema\":0"), &["an-entry-of-schema-1", "schema 0"]),
        (good.replace("\"schema\":1", "\"schema\":\"1\""), &["string", "u32"]),
        (format!("{good}\n"), &["one-line", "a-line-break"]),
        (format!("{good}\n{good}"), &["one-line", "a-line-break"]),
        (good.replace("\"fact\"", "\r\"fact\""), &["one-line", "a-line-break"]),
        (format!("{good}{good}"), &["trailing characters"]),
        (with_fact(r#"{"stated":{"thing":"reading","value":1}}"#), &["a thing like", "`reading`"]),
        (with_fact(r#"{"stated":{"thing":"plan/x","value":1}}"#), &["a thing like", "`plan/x`"]),
        (with_fact(r#"{"stated":{"thing":"moon/x","value":1}}"#), &["a thing like", "`moon/x`"]),
        (
            with_fact(r#"{"stated":{"thing":"file/a.jpg","value":1}}"#),
            &["attached-for-a-file", "file/a.jpg"],
        ),
        (
            with_fact(&format!(
                r#"{{"corrected":{{"thing":"file/a.jpg","value":1,"replaces":["{uuid}"],"reason":"x"}}}}"#
            )),
            &["attached-for-a-file", "file/a.jpg"],
        ),
        (
            with_fact(r#"{"corrected":{"thing":"plan","value":1,"replaces":[],"reason":"x"}}"#),
            &["the entries that it replaces", "none"],
        ),
        (
            with_fact(r#"{"withdrawn":{"thing":"plan","replaces":[],"reason":"x"}}"#),
            &["the entries that it replaces", "none"],
        ),
        (
            with_fact(&format!(
                r#"{{"withdrawn":{{"thing":"plan","replaces":["{uuid}"],"reason":" "}}}}"#
            )),
            &["a reason", "2000 bytes"],
        ),
        (
            with_fact(&format!(r#"{{"erased":{{"hash":"{hash}","reason":"{long}"}}}}"#)),
            &["a reason", "2000 bytes"],
        ),
        (
            with_fact(&format!(r#"{{"erased":{{"hash":"{hash}","reason":"two\nlines"}}}}"#)),
            &["a reason", "one line"],
        ),
        (
            with_fact(&format!(
                r#"{{"attached":{{"name":"../x","hash":"{hash}","bytes":0,"replaces":[]}}}}"#
            )),
            &["a plain path inside the job folder", "`../x`"],
        ),
        (
            with_fact(r#"{"attached":{"name":"a","hash":"00","bytes":0,"replaces":[]}}"#),
            &["64 hexadecimal digits", "`00`"],
        ),
        (
            with_fact(&format!(
                r#"{{"attached":{{"name":"a","hash":"{hash}","bytes":-1,"replaces":[]}}}}"#
            )),
            &["-1"],
        ),
        (
            good.replace("0000-000000000001", "0000-00000000000A"),
            &["a UUID in lower case", "00000A`"],
        ),
        (good.replace("tablet 2", ""), &["a name", "200 bytes"]),
        (good.replace("tablet 2", &"t".repeat(201)), &["a name", "200 bytes"]),
        (good.replace("\"device_time\":null", "\"device_time\":\"soon\""), &["year"]),
    ];
    for (line, telling) in cases {
        let words = refused(&line);
        for part in telling {
            assert!(words.contains(part), "{part} is missing in: {words}");
        }
    }
}

fn is_too_long(fault: &EntryFault) -> bool {
    (fault.expected.name(), fault.found.name()) == ("at-most-mib", "bytes")
}

#[test]
fn an_entry_longer_than_four_mebibytes_is_neither_written_nor_read() {
    let long =
        entry(1, Fact::Stated { thing: thing("plan"), value: "x".repeat(ENTRY_BYTES).into() });
    let fault = long.write().unwrap_err();
    assert!(is_too_long(&fault), "{fault}");
    let fault = Entry::read(&vec![b' '; ENTRY_BYTES + 1]).unwrap_err();
    assert!(is_too_long(&fault), "{fault}");
    let room = ENTRY_BYTES - with_fact(r#"{"stated":{"thing":"plan","value":""}}"#).len();
    let most =
        with_fact(&format!(r#"{{"stated":{{"thing":"plan","value":"{}"}}}}"#, "x".repeat(room)));
    assert_eq!(most.len(), ENTRY_BYTES);
    assert!(Entry::read(most.as_bytes()).is_ok());
}

#[test]
fn an_entry_nested_as_deep_as_can_be_written_can_be_read() {
    let mut value = Value::Null;
    for _ in 0..100 {
        value = Value::Array(vec![value]);
    }
    let deep = entry(1, Fact::Stated { thing: thing("plan"), value });
    assert_eq!(Entry::read(&deep.write().unwrap()).unwrap(), deep);
}

#[test]
fn an_entry_nested_ten_thousand_deep_is_refused_and_does_not_overflow() {
    let deep = with_fact(&format!(
        r#"{{"stated":{{"thing":"plan","value":{}{}}}}}"#,
        "[".repeat(10_000),
        "]".repeat(10_000)
    ));
    assert!(refused(&deep).contains("recursion"));
}

// ---------------------------------------------------------------- names

#[test]
fn hostile_file_names_are_refused() {
    let long = format!("{}/x", "a/".repeat(200));
    let wide = "w".repeat(201);
    for name in [
        "",
        ".",
        "..",
        "../x",
        "a/../b",
        "a/..",
        "./a",
        "a/./b",
        "/etc/passwd",
        "x/",
        "//x",
        "a//b",
        "C:\\x",
        "C:/x",
        "c:x",
        "a\\b",
        "\\\\server\\share",
        ".hidden",
        "photos/.hidden",
        "x.",
        "x ",
        "a./b",
        "a /b",
        "a\0b",
        "a\nb",
        "a\u{1b}b",
        "a\u{7f}",
        "a\u{85}b",
        "what?",
        "a*",
        "a|b",
        "<a>",
        "\"a\"",
        &long,
        &wide,
    ] {
        assert_eq!(FileName::new(name), None, "{name:?}");
        assert_eq!(Thing::named(ThingKind::File, name), None, "{name:?}");
        assert_eq!(Thing::parse(&format!("file/{name}")), None, "{name:?}");
        let json = serde_json::to_string(name).unwrap();
        assert!(serde_json::from_str::<FileName>(&json).is_err(), "{name:?}");
    }
    for name in [
        "record.jsonl",
        "Record.JSONL",
        "chain.jsonl",
        "files",
        "files/ab/cd",
        "Files/x",
        "photos",
        "notes/a.txt",
        "Photos/a.jpg",
        "record.jsonl/x",
        "job.toml/x",
    ] {
        assert_eq!(FileName::new(name), None, "{name:?}");
    }
    for name in ["job.toml", "photos/a b.jpg", "photos/é/ß.png", "a..b", "a.b.c", "-x", "~x"] {
        assert_eq!(FileName::new(name).unwrap().as_str(), name);
    }
}

// `CON`, `NUL` and the like are devices on one usual system, whatever follows the dot.
#[test]
fn names_of_devices_are_no_file_names() {
    for name in ["CON", "nul", "aux.txt", "photos/COM1.jpg", "LPT9"] {
        assert_eq!(FileName::new(name), None, "{name}");
    }
}

#[test]
fn hostile_names_of_things_are_refused() {
    let long = format!("reading/{}", "R".repeat(401));
    for text in [
        "",
        "/",
        "reading",
        "reading/",
        "Reading/R1",
        " reading/R1",
        "reading /R1",
        "reading/a\nb",
        "reading/a\0",
        "plan/x",
        "forecast/x",
        "locate",
        "order",
        "file",
        "file/",
        "moon",
        &long,
    ] {
        assert_eq!(Thing::parse(text), None, "{text:?}");
    }
    for text in ["job", "job/slab", "plan", "reading/a/b", "reading/é", "order/readings.csv"] {
        assert_eq!(thing(text).to_string(), text);
    }
}

// The readable files trim ids: such a thing would come back under another name.
#[test]
fn a_thing_whose_name_begins_or_ends_with_a_space_is_refused() {
    for text in ["reading/ R1", "reading/R1 ", "feature/\u{a0}Z1"] {
        assert_eq!(Thing::parse(text), None, "{text:?}");
    }
}

#[test]
fn ids_links_hashes_and_keys_are_read_in_their_one_form_only() {
    let uuid = "0190b5f0-0000-7000-8000-0000000000ab";
    assert_eq!(EntryId::parse(uuid).unwrap().to_string(), uuid);
    let bare = uuid.replace('-', "");
    let upper = uuid.to_uppercase();
    for text in ["", "x", &bare, &upper, &format!("{{{uuid}}}"), &format!("urn:uuid:{uuid}")] {
        assert_eq!(EntryId::parse(text), None, "{text}");
        assert_eq!(JobId::parse(text), None, "{text}");
    }
    let hash = FileHash::of(b"abc").to_string();
    assert_eq!(hash, "6437b3ac38465133ffb63b75273a8db548c558465d79db03fd359c6cd5bd9d85");
    assert!(FileHash::parse(&hash).is_some() && Link::parse(&hash).is_some());
    assert!(PublicKey::parse(&hash).is_some());
    let padded = format!(" {hash}");
    for text in
        ["", &hash[1..], &hash.to_uppercase(), &padded, &format!("{hash}0"), &"é".repeat(32)]
    {
        assert_eq!(FileHash::parse(text), None, "{text}");
        assert_eq!(Link::parse(text), None, "{text}");
        assert_eq!(PublicKey::parse(text), None, "{text}");
        assert!(HeadSignature::try_from(text.to_owned()).is_err(), "{text}");
    }
    let head = TrustedHead { entries: 12, link: Link::parse(&hash).unwrap() };
    assert_eq!(TrustedHead::parse(&head.to_string()), Some(head));
    assert_eq!(TrustedHead::parse(&format!("  {head}\n")), Some(head));
    for text in ["", "12", "12-", "-1-2", &hash, &format!("x-{hash}"), &format!("12-{hash}0")] {
        assert_eq!(TrustedHead::parse(text), None, "{text}");
    }
}

#[test]
fn names_and_reasons_are_one_line_of_bearable_length() {
    assert_eq!(Name::new("  M. Adeyemi ").unwrap().as_str(), "M. Adeyemi");
    assert!(Name::new(&"n".repeat(200)).is_some() && Reason::new(&"r".repeat(2000)).is_some());
    let (name, reason) = ("n".repeat(201), "r".repeat(2001));
    for text in ["", " ", "a\nb", "a\tb", "a\0", &reason] {
        assert!(Name::new(text).is_none() && Reason::new(text).is_none(), "{text:?}");
    }
    assert!(Name::new(&name).is_none());
}

// ---------------------------------------------------------------- fold

#[test]
fn a_repeated_statement_of_the_same_value_is_no_clash() {
    let entries = [stated(1, "reading/R1", "212"), stated(2, "reading/R1", "212")];
    let folded = folded(&entries);
    assert_eq!(state(&folded, "reading/R1"), State::Settled);
    assert_eq!(folded.things[&thing("reading/R1")].entries(), [id(1), id(2)]);
    assert_eq!(folded.clashes().count(), 0);
}

#[test]
fn two_corrections_of_one_entry_clash_and_the_later_is_shown() {
    let entries = [
        stated(1, "reading/R1", "212"),
        corrected(2, "reading/R1", "220", &[1]),
        corrected(3, "reading/R1", "198", &[1]),
    ];
    let folded = folded(&entries);
    assert_eq!(state(&folded, "reading/R1"), State::Clash);
    assert_eq!(folded.things[&thing("reading/R1")].entries(), [id(2), id(3)]);
    assert_eq!(shows(&folded, "reading/R1").as_deref(), Some("198"));
    assert_eq!(folded.clashes().count(), 1);
}

#[test]
fn two_corrections_to_the_same_value_do_not_clash() {
    let entries = [
        stated(1, "reading/R1", "212"),
        corrected(2, "reading/R1", "220", &[1]),
        corrected(3, "reading/R1", "220", &[1]),
    ];
    assert_eq!(state(&folded(&entries), "reading/R1"), State::Settled);
}

#[test]
fn a_correction_that_names_both_sides_of_a_clash_settles_it() {
    let entries = [
        stated(1, "reading/R1", "212"),
        corrected(2, "reading/R1", "220", &[1]),
        corrected(3, "reading/R1", "198", &[1]),
        corrected(4, "reading/R1", "220", &[2, 3]),
    ];
    let folded = folded(&entries);
    assert_eq!(state(&folded, "reading/R1"), State::Settled);
    assert_eq!(shows(&folded, "reading/R1").as_deref(), Some("220"));
    assert!(folded.unanswered.is_empty());
}

#[test]
fn withdrawn_by_one_and_corrected_by_another_is_a_clash_that_shows_the_correction() {
    for order in [[2, 3], [3, 2]] {
        let both = [corrected(2, "reading/R1", "198", &[1]), withdrawn(3, "reading/R1", &[1])];
        let mut entries = vec![stated(1, "reading/R1", "212")];
        entries.extend(order.map(|number: usize| both[number - 2].clone()));
        let folded = folded(&entries);
        assert_eq!(state(&folded, "reading/R1"), State::Clash);
        assert_eq!(shows(&folded, "reading/R1").as_deref(), Some("198"));
    }
}

#[test]
fn a_thing_withdrawn_by_two_is_withdrawn_and_can_be_stated_again() {
    let mut entries = vec![
        stated(1, "reading/R1", "212"),
        withdrawn(2, "reading/R1", &[1]),
        withdrawn(3, "reading/R1", &[1]),
    ];
    assert_eq!(state(&folded(&entries), "reading/R1"), State::Withdrawn);
    assert_eq!(shows(&folded(&entries), "reading/R1"), None);
    entries.push(corrected(4, "reading/R1", "212", &[2, 3]));
    assert_eq!(state(&folded(&entries), "reading/R1"), State::Settled);
    assert_eq!(shows(&folded(&entries), "reading/R1").as_deref(), Some("212"));
}

#[test]
fn naming_an_entry_of_another_thing_or_an_unknown_one_replaces_nothing_and_is_listed() {
    let entries = [
        stated(1, "reading/R1", "212"),
        stated(2, "reading/R2", "7"),
        corrected(3, "reading/R2", "8", &[1]),
        withdrawn(4, "reading/R1", &[99]),
        corrected(5, "reading/R1", "3", &[5]),
        corrected(6, "reading/R1", "4", &[7]),
        corrected(7, "reading/R1", "5", &[6]),
    ];
    let folded = folded(&entries);
    assert_eq!(folded.unanswered, [id(3), id(4), id(5), id(6)]);
    assert_eq!(folded.things[&thing("reading/R2")].entries(), [id(2), id(3)]);
    assert_eq!(folded.things[&thing("reading/R1")].entries(), [id(1), id(4), id(5), id(7)]);
}

#[test]
fn entries_that_name_each_other_in_a_circle_hide_no_version() {
    let entries = [
        corrected(1, "plan", "a", &[2]),
        corrected(2, "plan", "b", &[3]),
        corrected(3, "plan", "c", &[1]),
    ];
    let folded = folded(&entries);
    assert_eq!(folded.things[&thing("plan")].entries(), [id(2), id(3)]);
    assert_eq!(state(&folded, "plan"), State::Clash);
}

#[test]
fn an_erased_file_keeps_its_first_erasure_and_its_versions() {
    let name = FileName::new("photos/a.jpg").unwrap();
    let hash = FileHash::of(b"a");
    let attached = Fact::Attached { name: name.clone(), hash, bytes: 1, replaces: Vec::new() };
    let erased = || Fact::Erased { hash, reason: reason() };
    let entries = [entry(1, attached), entry(2, erased()), entry(3, erased())];
    let folded = folded(&entries);
    assert_eq!(folded.erased[&hash].place, 2);
    assert_eq!(folded.file(&Thing::file(&name)), Some((hash, 1)));
}

/// What a random entry does: to which thing, what, which entries it names.
#[derive(Debug, Clone)]
struct Move {
    of: usize,
    what: u8,
    value: u8,
    names: Vec<usize>,
}

const THINGS: [&str; 3] = ["reading/R1", "reading/R2", "file/photos/a.jpg"];

fn moves() -> impl Strategy<Value = Vec<Entry>> {
    // Names reach beyond the end: entries that come later and such that never come.
    let one = (0..3usize, 0..3u8, 0..3u8, prop::collection::vec(0..30usize, 1..4));
    let one = one.prop_map(|(of, what, value, names)| Move { of, what, value, names });
    prop::collection::vec(one, 0..25).prop_map(|moves| {
        let made = moves.into_iter().enumerate().map(|(at, m)| {
            let names: Vec<u64> = m.names.iter().map(|name| *name as u64).collect();
            let (at, of, value) = (at as u64, THINGS[m.of], m.value.to_string());
            match (m.what, m.of) {
                (2, _) => withdrawn(at, of, &names),
                (what, 2) => {
                    let name = FileName::new("photos/a.jpg").unwrap();
                    let replaces =
                        if what == 0 { Vec::new() } else { names.into_iter().map(id).collect() };
                    let hash = FileHash::of(value.as_bytes());
                    entry(at, Fact::Attached { name, hash, bytes: 1, replaces })
                }
                (0, _) => stated(at, of, &value),
                _ => corrected(at, of, &value, &names),
            }
        });
        made.collect()
    })
}

proptest! {
    #![proptest_config(cases(2048))]

    #[test]
    fn no_version_disappears_unless_a_later_entry_of_the_same_thing_names_it(entries in moves()) {
        let folded = folded(&entries);
        for of in THINGS.map(thing) {
            let speaks = |entry: &&Entry| entry.fact.thing().as_ref() == Some(&of);
            let counts: Vec<(u64, EntryId)> = entries
                .iter()
                .enumerate()
                .filter(|(_, entry)| speaks(entry))
                .filter(|(at, entry)| {
                    let mut later = entries[at + 1..].iter().filter(speaks);
                    !later.any(|later| later.fact.replaces().contains(&entry.id))
                })
                .map(|(at, entry)| (at as u64 + 1, entry.id))
                .collect();
            let held = folded.things.get(&of);
            let versions: Vec<(u64, EntryId)> = held
                .map(|held| held.versions.iter().map(|v| (v.place, v.entry)).collect())
                .unwrap_or_default();
            prop_assert_eq!(&versions, &counts);
            let first = entries.iter().position(|entry| speaks(&entry));
            prop_assert_eq!(held.map(|held| held.first), first.map(|at| at as u64 + 1));
            prop_assert!(held.is_none_or(|held| !held.versions.is_empty()));
        }
        let unanswered: Vec<EntryId> = entries
            .iter()
            .enumerate()
            .filter(|(at, entry)| {
                let known = |id: &EntryId| {
                    let mut before = entries[..*at].iter();
                    before.any(|e| e.id == *id && e.fact.thing() == entry.fact.thing())
                };
                !entry.fact.replaces().iter().all(known)
            })
            .map(|(_, entry)| entry.id)
            .collect();
        prop_assert_eq!(&folded.unanswered, &unanswered);
    }

    #[test]
    fn folding_twice_gives_the_same_and_a_clash_shows_something(entries in moves()) {
        let folded = folded(&entries);
        prop_assert_eq!(&folded, &self::folded(&entries));
        for (thing, held) in &folded.things {
            let contents: Vec<_> = held.versions.iter().map(|v| v.content).collect();
            let differ = contents.windows(2).any(|pair| pair[0] != pair[1]);
            prop_assert_eq!(held.state() == State::Clash, differ, "{}", thing);
            let gone = contents.iter().all(|content| *content == Content::Withdrawn);
            prop_assert_eq!(held.shown().is_none(), gone);
            prop_assert_eq!(held.state() == State::Withdrawn, gone);
        }
    }
}

// ---------------------------------------------------------------- chain

const GOLDEN: [&str; 2] = [
    r#"{"schema":1,"id":"00000000-0000-0000-0000-000000000001","author":"M. Adeyemi","device":"tablet 2","device_time":null,"fact":{"stated":{"thing":"reading/R001","value":{"value":"212","unit":"psi"}}}}"#,
    r#"{"schema":1,"id":"00000000-0000-0000-0000-000000000002","author":null,"device":"job folder","device_time":null,"fact":{"attached":{"name":"photos/a.jpg","hash":"af1349b9f5f9a1a6a0404dea36dcc9499bcb25c9adc112b7cc9a93cae41f3262","bytes":0,"replaces":[]}}}"#,
];

const RECEIVED: [i64; 2] = [1_788_000_000_000_000, 1_788_000_001_000_007];

/// RFC 8032, section 7.1, TEST 1.
const SECRET: &str = "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60";
const PUBLIC: &str = "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a";

fn bytes_of<const N: usize>(hexadecimal: &str) -> [u8; N] {
    std::array::from_fn(|at| u8::from_str_radix(&hexadecimal[2 * at..2 * at + 2], 16).unwrap())
}

fn test_key() -> InstallationKey {
    InstallationKey::from_bytes(&bytes_of(SECRET))
}

fn linked(job: JobId, entries: &[(Timestamp, Vec<u8>)]) -> Vec<Placed> {
    let mut link = Link::start(job);
    (1..)
        .zip(entries)
        .map(|(place, (received, bytes))| {
            link = link.next(place, *received, bytes);
            Placed { place, received: *received, link, bytes: bytes.clone() }
        })
        .collect()
}

fn golden() -> Vec<Placed> {
    let entries: Vec<_> = RECEIVED
        .iter()
        .zip(GOLDEN)
        .map(|(time, entry)| {
            (Timestamp::from_microsecond(*time).unwrap(), entry.as_bytes().to_vec())
        })
        .collect();
    linked(job(), &entries)
}

// The links and the signature were computed by a BLAKE3 of forty lines of Python, checked
// against the published hashes of nothing and of `abc`, and by another Ed25519.
#[test]
fn the_chain_has_the_links_that_were_computed_elsewhere() {
    let start = "9dbf4f3fad6830f5bb8f80d0c80e0bbe966999c480deacbb82164903c5be3f91";
    let links = [
        "674ee01f1bece3b5c7c944d3c0f640ff7b1289382f12009d4b8ff5effb97ba67",
        "b6ddcf6dda5a9744c498329e3aaab44539b35e331863f51755fdf5de9526391f",
    ];
    assert_eq!(Link::start(job()).to_string(), start);
    let golden = golden();
    assert_eq!(golden.iter().map(|placed| placed.link.to_string()).collect::<Vec<_>>(), links);
    assert!(verify(job(), &golden, &[], None, &Trust::default()).is_whole());
}

#[test]
fn links_follow_the_documented_formula() {
    let mut before =
        *blake3::hash(&[b"tooth record chain 1\n", &job().as_bytes()[..]].concat()).as_bytes();
    for placed in golden() {
        let hash = blake3::hash(&placed.bytes);
        let parts: [&[u8]; 5] = [
            b"tooth record link 1\n",
            &before,
            &placed.place.to_le_bytes(),
            &placed.received.as_microsecond().to_le_bytes(),
            hash.as_bytes(),
        ];
        before = *blake3::hash(&parts.concat()).as_bytes();
        assert_eq!(placed.link.as_bytes(), &before);
    }
}

#[test]
fn a_head_is_signed_as_the_published_vector_and_another_program_sign_it() {
    assert_eq!(test_key().public().to_string(), PUBLIC);
    let placed = golden().pop().unwrap();
    let head = Head::sign(job(), 2, placed.link, placed.received, &test_key());
    assert_eq!(
        String::from(head.signature),
        "dfd24c6cf7d4a2b6ac58a2089bd0250bda880bf11cdbb7593efc306e14d9f7dc75d007f7d85891df2c800985555ca80aa23d39e693e103c4cfff248a3d39fb08"
    );
    assert!(head.is_signed());
    assert!(!format!("{:?}", test_key()).contains(SECRET));
    // No point of the curve, a point of small order.
    for weak in [[0xff; 32], [0; 32], std::array::from_fn(|at| u8::from(at == 0))] {
        let mut head = head;
        head.key = PublicKey::from_bytes(weak);
        assert!(!head.is_signed());
        head.signature = HeadSignature::from_bytes([0; 64]);
        assert!(!head.is_signed());
    }
}

/// A random chain with heads at some of its places.
#[derive(Debug, Clone)]
struct Chain {
    placed: Vec<Placed>,
    heads: Vec<Head>,
}

fn chain() -> impl Strategy<Value = Chain> {
    let entries = prop::collection::vec((time(), any_entry()), 2..7);
    (entries, any::<u8>()).prop_map(|(entries, signed)| {
        let entries: Vec<_> = entries
            .into_iter()
            .enumerate()
            .map(|(at, (time, mut entry))| {
                entry.id = id(at as u64 + 1);
                (time, entry.write().unwrap())
            })
            .collect();
        let placed = linked(job(), &entries);
        // The last is always signed.
        let heads = placed
            .iter()
            .filter(|p| p.place == entries.len() as u64 || signed >> p.place & 1 == 1)
            .map(|p| Head::sign(job(), p.place, p.link, p.received, &test_key()))
            .collect();
        Chain { placed, heads }
    })
}

fn checked(chain: &Chain) -> Verdict {
    verify(job(), &chain.placed, &chain.heads, None, &Trust::default())
}

fn first(chain: &Chain) -> Option<(u64, Wrong)> {
    checked(chain).first_altered().map(|altered| (altered.place, altered.wrong))
}

proptest! {
    #![proptest_config(cases(384))]

    #[test]
    fn a_changed_byte_of_an_entry_is_found_at_its_place(
        mut chain in chain(), at in any::<Index>(), byte in any::<Index>(), flip in 1..=255u8,
    ) {
        prop_assert!(checked(&chain).is_whole());
        let at = at.index(chain.placed.len());
        let bytes = &mut chain.placed[at].bytes;
        let byte = byte.index(bytes.len());
        bytes[byte] ^= flip;
        let verdict = checked(&chain);
        prop_assert_eq!(verdict.first_altered().map(|a| a.place), Some(at as u64 + 1));
        let altered = verdict.alterations.iter().filter(|a| a.wrong == Wrong::EntryAltered);
        prop_assert_eq!(altered.map(|a| a.place).collect::<Vec<_>>(), [at as u64 + 1]);
        prop_assert_eq!(first_break(job(), &chain.placed), Some(at as u64 + 1));
    }

    #[test]
    fn a_changed_byte_of_a_link_is_found_at_its_place(
        mut chain in chain(), at in any::<Index>(), byte in 0..32usize, flip in 1..=255u8,
    ) {
        let at = at.index(chain.placed.len());
        let mut bytes = *chain.placed[at].link.as_bytes();
        bytes[byte] ^= flip;
        chain.placed[at].link = Link::from_bytes(bytes);
        prop_assert_eq!(first(&chain), Some((at as u64 + 1, Wrong::LinkAltered)));
    }

    #[test]
    fn a_changed_time_of_receipt_is_found_at_its_place(
        mut chain in chain(), at in any::<Index>(), by in prop_oneof![Just(1i64), -5..-1i64, any::<i32>().prop_map(i64::from)],
    ) {
        prop_assume!(by != 0);
        let at = at.index(chain.placed.len());
        let micros = chain.placed[at].received.as_microsecond() + by;
        chain.placed[at].received = Timestamp::from_microsecond(micros).unwrap();
        prop_assert_eq!(first(&chain), Some((at as u64 + 1, Wrong::EntryAltered)));
    }

    #[test]
    fn a_changed_field_of_a_head_is_found(
        mut chain in chain(), at in any::<Index>(), field in 0..6usize, byte in any::<Index>(), bit in 0..8u32,
    ) {
        let at = at.index(chain.heads.len());
        let head = &mut chain.heads[at];
        let flip = |bytes: &mut [u8]| {
            let at = byte.index(bytes.len());
            bytes[at] ^= 1 << bit;
        };
        match field {
            0 => {
                let mut job = *head.job.as_bytes();
                flip(&mut job);
                head.job = JobId::from_bytes(job);
            }
            1 => head.entries ^= 1 << (byte.index(64)),
            2 => {
                let mut link = *head.link.as_bytes();
                flip(&mut link);
                head.link = Link::from_bytes(link);
            }
            3 => {
                let micros = head.signed.as_microsecond() ^ (1 << bit);
                head.signed = Timestamp::from_microsecond(micros).unwrap();
            }
            4 => {
                let mut key = *head.key.as_bytes();
                flip(&mut key);
                head.key = PublicKey::from_bytes(key);
            }
            _ => {
                let mut signature = *head.signature.as_bytes();
                flip(&mut signature);
                head.signature = HeadSignature::from_bytes(signature);
            }
        }
        let forged = checked(&chain).alterations;
        prop_assert_eq!(forged.len(), 1);
        prop_assert_eq!((forged[0].place, forged[0].wrong), (chain.heads[at].entries, Wrong::HeadForged));
    }

    #[test]
    fn entries_left_out_swapped_put_in_or_doubled_are_found(
        chain in chain(), at in any::<Index>(), renumber in any::<bool>(), other in any_entry(),
    ) {
        let count = chain.placed.len();
        let at = at.index(count);
        let place = at as u64 + 1;
        let mut removed = chain.clone();
        removed.placed.remove(at);
        let mut swapped = chain.clone();
        swapped.placed.swap(at, (at + 1) % count);
        let mut doubled = chain.clone();
        let again = doubled.placed[at].clone();
        doubled.placed.insert(at, again);
        let mut inserted = chain.clone();
        let mut strange = inserted.placed[at].clone();
        strange.bytes = other.write().unwrap();
        let before = if at == 0 { Link::start(job()) } else { inserted.placed[at - 1].link };
        strange.link = before.next(place, strange.received, &strange.bytes);
        inserted.placed.insert(at, strange);
        for mut changed in [removed, swapped, doubled, inserted] {
            if renumber {
                for (at, placed) in changed.placed.iter_mut().enumerate() {
                    placed.place = at as u64 + 1;
                }
            }
            let verdict = checked(&changed);
            prop_assert!(!verdict.is_whole());
            let first = verdict.first_altered().unwrap().place;
            // A swap of the first and the last is seen at the first.
            let last = at + 1 == count;
            prop_assert!(first <= place + 1 && (last || first >= place), "{first} for {place}");
        }
    }

    #[test]
    fn a_chain_cut_short_with_its_heads_is_whole_and_the_verdict_says_what_it_cannot_prove(
        chain in chain(), keep in any::<Index>(),
    ) {
        let keep = 1 + keep.index(chain.placed.len() - 1);
        let whole = chain.heads.last().unwrap().short();
        let mut cut = chain.clone();
        cut.placed.truncate(keep);
        cut.heads.retain(|head| head.entries <= keep as u64);
        let verdict = checked(&cut);
        prop_assert!(verdict.is_whole());
        prop_assert_eq!(verdict.proven_entries, 0);
        prop_assert!(verdict.not_proven.iter().any(|words| words.holds("whether-somebody-rewrote-entries-links")));
        let trust = Trust { heads: vec![whole], keys: Vec::new() };
        let verdict = verify(job(), &cut.placed, &cut.heads, None, &trust);
        prop_assert_eq!(
            verdict.first_altered().map(|a| (a.place, a.wrong)),
            Some((chain.placed.len() as u64, Wrong::EndMissing))
        );
        prop_assert_eq!(verdict.proven_entries, 0);
        let trust = Trust { heads: Vec::new(), keys: vec![test_key().public()] };
        let verdict = verify(job(), &cut.placed, &cut.heads, None, &trust);
        prop_assert!(verdict.is_whole());
        prop_assert!(verdict.not_proven.iter().any(|w| w.holds("whether-newer-entries-were-cut-off")));
    }

    #[test]
    fn a_trusted_head_or_key_proves_up_to_its_place_and_no_further(
        chain in chain(), at in any::<Index>(), alter in any::<Index>(), by_key in any::<bool>(),
    ) {
        let count = chain.placed.len() as u64;
        let head = if by_key {
            *chain.heads.get(at.index(chain.heads.len())).unwrap()
        } else {
            let placed = &chain.placed[at.index(chain.placed.len())];
            Head::sign(job(), placed.place, placed.link, placed.received, &test_key())
        };
        let (heads, trust) = if by_key {
            (vec![head], Trust { heads: Vec::new(), keys: vec![head.key] })
        } else {
            (Vec::new(), Trust { heads: vec![head.short()], keys: Vec::new() })
        };
        let verdict = verify(job(), &chain.placed, &heads, None, &trust);
        prop_assert!(verdict.is_whole());
        prop_assert_eq!(verdict.proven_entries, head.entries);
        let beyond = verdict.not_proven.iter().any(|words| words.holds("entries-to-they-come-after-what"));
        prop_assert_eq!(beyond, head.entries < count);
        // Rewritten together with all its links, as somebody with the program could.
        let alter = alter.index(chain.placed.len());
        let mut entries: Vec<_> =
            chain.placed.iter().map(|p| (p.received, p.bytes.clone())).collect();
        entries[alter].1 = stated(alter as u64 + 1, "plan", "another").write().unwrap();
        let rewritten = linked(job(), &entries);
        let verdict = verify(job(), &rewritten, &heads, None, &trust);
        if (alter as u64) < head.entries {
            let wrong = if by_key { Wrong::HeadDiffers } else { Wrong::TrustedHeadDiffers };
            prop_assert_eq!(
                verdict.first_altered().map(|a| (a.place, a.wrong)),
                Some((head.entries, wrong))
            );
            prop_assert_eq!(verdict.proven_entries, 0);
        } else {
            prop_assert!(verdict.is_whole());
            prop_assert_eq!(verdict.proven_entries, head.entries);
        }
        // Without its links: proven up to before it at most.
        let mut altered = chain.placed.clone();
        altered[alter].bytes = entries[alter].1.clone();
        let verdict = verify(job(), &altered, &heads, None, &trust);
        prop_assert!(!verdict.is_whole());
        prop_assert!(verdict.proven_entries <= alter as u64);
        if head.entries <= alter as u64 {
            prop_assert_eq!(verdict.proven_entries, head.entries);
        }
    }
}

#[test]
fn a_key_that_is_not_trusted_proves_nothing() {
    let placed = golden();
    let stranger = InstallationKey::from_bytes(&[7; 32]);
    let head = Head::sign(job(), 2, placed[1].link, placed[1].received, &stranger);
    let trust = Trust { heads: Vec::new(), keys: vec![test_key().public()] };
    let verdict = verify(job(), &placed, &[head], None, &trust);
    assert!(verdict.is_whole());
    assert_eq!(verdict.proven_entries, 0);
    assert!(
        verdict.not_proven.iter().any(|words| words.holds("who-holds-the-other-keys-that-signed"))
    );
}

#[test]
fn the_missing_head_of_ones_own_end_is_found_and_a_strangers_does_not_stand_for_it() {
    let placed = golden();
    let head = |place: usize, key: &InstallationKey| {
        let at = &placed[place - 1];
        Head::sign(job(), at.place, at.link, at.received, key)
    };
    let own = Some(test_key().public());
    let stranger = InstallationKey::from_bytes(&[7; 32]);
    let check = |heads: &[Head]| verify(job(), &placed, heads, own, &Trust::default());
    assert!(check(&[head(2, &test_key())]).is_whole());
    for heads in [vec![], vec![head(1, &test_key())], vec![head(2, &stranger)]] {
        let first = check(&heads).first_altered().map(|a| (a.place, a.wrong));
        assert_eq!(first, Some((2, Wrong::Unsigned)));
    }
    assert!(verify(job(), &[], &[], own, &Trust::default()).is_whole());
}

#[test]
fn an_entry_that_comes_twice_under_true_links_is_found() {
    let received = Timestamp::from_microsecond(RECEIVED[0]).unwrap();
    let entries: Vec<_> =
        [0, 1, 0].iter().map(|at| (received, GOLDEN[*at].as_bytes().to_vec())).collect();
    let chain = Chain { placed: linked(job(), &entries), heads: Vec::new() };
    assert_eq!(first(&chain), Some((3, Wrong::IdTwice)));
}

#[test]
fn bytes_that_are_no_entry_are_found_under_true_links() {
    let received = Timestamp::from_microsecond(RECEIVED[0]).unwrap();
    let chain = Chain { placed: linked(job(), &[(received, b"{}".to_vec())]), heads: Vec::new() };
    assert_eq!(first(&chain), Some((1, Wrong::Unreadable)));
}

#[test]
fn a_chain_of_another_job_is_found_at_its_first_place() {
    let other = JobId::from_bytes([9; 16]);
    let verdict = verify(other, &golden(), &[], None, &Trust::default());
    assert_eq!(verdict.first_altered().map(|altered| altered.place), Some(1));
}

#[test]
fn a_job_without_entries_is_whole() {
    let verdict = verify(job(), &[], &[], None, &Trust::default());
    assert!(verdict.is_whole());
    assert_eq!((verdict.entries, verdict.head.link), (0, Link::start(job())));
}

// ---------------------------------------------------------------- difference

fn edit() -> Edit {
    Edit { job: job(), origin: Origin::EditedFolder, author: None, reason: reason() }
}

/// What a folder with one readable file shows: readings with their values, in order.
fn shows_readings(values: &[(u8, u8)]) -> Shown {
    let things = values
        .iter()
        .map(|(name, value)| (thing(&format!("reading/R{name}")), Value::from(*value)))
        .collect();
    let text = format!("{values:?}");
    Shown {
        listings: vec![Listing { file: FileName::new("readings.csv").unwrap(), things }],
        files: vec![(
            FileName::new("readings.csv").unwrap(),
            FileHash::of(text.as_bytes()),
            text.len() as u64,
        )],
    }
}

/// What the entries show, by the rules that the readable files are written by.
fn listed(entries: &[Entry]) -> Vec<(Thing, Value)> {
    let folded = folded(entries);
    folded
        .listed("readings.csv", &[ThingKind::Reading])
        .into_iter()
        .filter_map(|(thing, version)| match version.content {
            Content::Value(value) => Some((thing.clone(), value.clone())),
            _ => None,
        })
        .collect()
}

fn readings() -> impl Strategy<Value = Vec<(u8, u8)>> {
    prop::collection::vec((0..8u8, 0..3u8), 0..7).prop_map(|rows| {
        let mut known = BTreeSet::new();
        rows.into_iter().filter(|(name, _)| known.insert(*name)).collect()
    })
}

proptest! {
    #![proptest_config(cases(512))]

    #[test]
    fn a_folder_edited_again_and_again_is_shown_as_it_was_last(
        edits in prop::collection::vec(readings(), 1..7),
    ) {
        let mut entries: Vec<Entry> = Vec::new();
        let mut before = Shown::default();
        for rows in edits {
            let now = shows_readings(&rows);
            let new = difference(&edit(), &folded(&entries), &before, &now);
            prop_assert_eq!(&new, &difference(&edit(), &folded(&entries), &before, &now));
            entries.extend(new);
            let ids: BTreeSet<EntryId> = entries.iter().map(|entry| entry.id).collect();
            prop_assert_eq!(ids.len(), entries.len());
            for entry in &entries {
                prop_assert_eq!(&Entry::read(&entry.write().unwrap()).unwrap(), entry);
            }
            let folded = folded(&entries);
            prop_assert_eq!(listed(&entries), now.listings[0].things.clone());
            prop_assert!(folded.unanswered.is_empty());
            prop_assert_eq!(folded.clashes().count(), 0);
            prop_assert!(difference(&edit(), &folded, &now, &now).is_empty());
            let (name, hash, bytes) = now.files[0].clone();
            prop_assert_eq!(folded.file(&Thing::file(&name)), Some((hash, bytes)));
            before = now;
        }
    }
}

#[test]
fn the_same_folder_twice_gives_no_entries_and_other_facts_other_ids() {
    let now = shows_readings(&[(1, 1), (2, 1)]);
    let entries = difference(&edit(), &Folded::default(), &Shown::default(), &now);
    assert_eq!(entries.len(), 3);
    let again = difference(&edit(), &Folded::default(), &Shown::default(), &now);
    assert_eq!(entries, again);
    assert!(difference(&edit(), &folded(&entries), &now, &now).is_empty());
    let ids: BTreeSet<EntryId> = entries.iter().map(|entry| entry.id).collect();
    assert_eq!(ids.len(), 3);
    let elsewhere = [
        Edit { job: JobId::from_bytes([9; 16]), ..edit() },
        Edit { origin: Origin::BareFolder, ..edit() },
    ];
    for edit in elsewhere {
        let others = difference(&edit, &Folded::default(), &Shown::default(), &now);
        assert!(others.iter().all(|entry| !ids.contains(&entry.id)), "{edit:?}");
    }
    // The same edit brought by two people, for two reasons, is one.
    let other =
        Edit { author: Name::new("J. Lindqvist"), reason: Reason::new("so").unwrap(), ..edit() };
    let others = difference(&other, &Folded::default(), &Shown::default(), &now);
    assert!(others.iter().all(|entry| ids.contains(&entry.id)));
    for entry in &entries {
        // A name that follows from content, of version 8.
        assert_eq!(entry.id.to_string().as_bytes()[14], b'8');
    }
}

#[test]
fn a_value_that_goes_back_and_forth_by_hand_gives_an_entry_each_time() {
    let mut entries = Vec::new();
    let mut before = Shown::default();
    for value in [1, 2, 1, 2, 1] {
        let now = shows_readings(&[(1, value)]);
        entries.extend(difference(&edit(), &folded(&entries), &before, &now));
        assert_eq!(listed(&entries), now.listings[0].things);
        before = now;
    }
    let ids: BTreeSet<EntryId> = entries.iter().map(|entry| entry.id).collect();
    // Five of the reading and five of its file.
    assert_eq!(ids.len(), 10);
}

#[test]
fn editing_a_thing_in_clash_settles_it_and_leaving_it_alone_does_not() {
    let mut entries = vec![
        stated(1, "reading/R1", "a"),
        corrected(2, "reading/R1", "b", &[1]),
        corrected(3, "reading/R1", "c", &[1]),
    ];
    let shows = |value: &str| Shown {
        listings: vec![Listing {
            file: FileName::new("readings.csv").unwrap(),
            things: vec![(thing("reading/R1"), Value::from(value))],
        }],
        files: Vec::new(),
    };
    assert!(difference(&edit(), &folded(&entries), &shows("c"), &shows("c")).is_empty());
    entries.extend(difference(&edit(), &folded(&entries), &shows("c"), &shows("b")));
    assert_eq!(state(&folded(&entries), "reading/R1"), State::Settled);
    assert_eq!(entries.len(), 4);
}

#[test]
fn more_than_a_thousand_versions_can_still_be_corrected_by_hand() {
    let entries: Vec<Entry> =
        (1..=1001).map(|number| stated(number, "reading/R1", &number.to_string())).collect();
    let shows = |value: &str| Shown {
        listings: vec![Listing {
            file: FileName::new("readings.csv").unwrap(),
            things: vec![(thing("reading/R1"), Value::from(value))],
        }],
        files: Vec::new(),
    };
    let edits = difference(&edit(), &folded(&entries), &shows("1001"), &shows("7"));
    assert!(!edits.is_empty(), "the edit is lost without a word");
}
