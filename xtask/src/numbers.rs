//! No public function of floors 1 to 3 takes or returns a bare `f64` or `f32`, and no public
//! field holds one, where a quantity is meant. Exceptions are listed here, each with its reason, and an
//! exception that nothing needs any more is an error.

use std::collections::BTreeSet;

use syn::visit::Visit;

use crate::floors::{parsed, sources};
use crate::run::root;

/// Crates of floors 1 to 3.
const CRATES: &[&str] = &["measure", "record", "sounding", "texture", "job"];

/// Files whose functions name their unit, or are the one place where numbers and
/// quantities meet.
const FILES: &[(&str, &str)] = &[
    (
        "crates/measure/src/quantity.rs",
        "constructors and getters that name their unit; dimensionless ratios of like quantities",
    ),
    (
        "crates/measure/src/say.rs",
        "what a message shows: its unit stands in the message beside the figure",
    ),
    ("crates/texture/src/synthetic.rs", "made surfaces are functions of millimetres"),
    (
        "crates/measure/src/colour/mod.rs",
        "X, Y, Z, L*, a*, b* and ΔE have no unit; constructors and getters name the scale",
    ),
    ("crates/measure/src/colour/card.rs", "L* has no unit"),
    ("crates/measure/src/colour/picture.rs", "places in pixels and codes of pixels, 0 to 255"),
    ("crates/measure/src/colour/synthetic.rs", "made pictures: pixels, shares, L*a*b*"),
];

/// `type::function` or `function`, with the reason.
const EXCEPTIONS: &[(&str, &str)] = &[
    ("Pert::new", "a dimensionless factor"),
    ("Pert::mean", "a dimensionless factor"),
    ("Pert::standard_deviation", "a dimensionless factor"),
    ("Pert::quantile", "a dimensionless factor"),
    ("LogNormal::from_median", "a dimensionless factor"),
    ("LogNormal::sigma", "of a logarithm: dimensionless"),
    ("LogNormal::median", "a dimensionless factor"),
    ("LogNormal::mean", "a dimensionless factor"),
    ("LogNormal::quantile", "a dimensionless factor"),
    ("rank_correlation", "dimensionless ranks"),
    ("standard_deviation", "in the SI unit of its quantity, which its type parameter names"),
    ("Stream::uniform", "a dimensionless draw"),
    ("Part::hours", "pace and growth are dimensionless"),
    ("Listener::hear", "samples against the full range: dimensionless"),
    ("Calibration::new", "of logarithms: dimensionless"),
    ("Calibration::between_surfaces", "of logarithms: dimensionless"),
    ("Sample::frame", "how often a point comes: dimensionless"),
    ("Sample::see", "millimetres by the million; the parameter says so"),
    ("Frame::place", "millimetres by the million; the parameter says so"),
    ("cell_medians", "millimetres by the million, whose unit the caller keeps"),
    ("roughness", "millimetres of a line; the parameter says so"),
    ("profile_depth", "millimetres of a line; the parameter says so"),
    ("HeightMap::new", "millimetres by the million; the parameter says so"),
    ("HeightMap::single", "millimetres by the million; the parameter says so"),
    ("HeightMap::heights_mm", "millimetres by the million; the name says so"),
    ("HeightMap::row_mm", "millimetres by the million; the name says so"),
    ("Band::filter", "samples against the full range: dimensionless"),
    ("Part::cost", "pace and growth are dimensionless"),
    ("NormalBelief::updated", "of logarithms: dimensionless"),
    ("NormalBelief::predictive", "of logarithms: dimensionless"),
    ("SpreadBelief::updated", "of logarithms: dimensionless"),
    ("SpreadBelief::predictive_quantile", "of logarithms: dimensionless"),
    ("Tabulated::at_score", "a dimensionless factor at a normal score"),
    ("tolerance_factor", "in standard deviations: dimensionless"),
    ("share_within", "a quality index in standard deviations: dimensionless"),
    ("normal_score", "a normal score: dimensionless"),
    ("NormalBelief.mean", "of logarithms: dimensionless"),
    ("NormalBelief.standard_deviation", "of logarithms: dimensionless"),
    ("SpreadBelief.mean", "of logarithms: dimensionless"),
    ("SpreadBelief.weight", "a number of observations"),
    ("SpreadBelief.shape", "dimensionless"),
    ("SpreadBelief.scale", "of logarithms: dimensionless"),
    ("ShareBelief.for_it", "a number of observations"),
    ("ShareBelief.against", "a number of observations"),
    ("Made.samples", "samples against the full range: dimensionless"),
    ("Areal.skewness", "dimensionless"),
    ("Areal.kurtosis", "dimensionless"),
    ("Areal.root_mean_square_gradient", "a slope: dimensionless"),
    ("Areal.gradient_of_seven_points", "a slope: dimensionless"),
    ("Check.mean_error", "levels of the chips"),
    ("Check.ranked_probability_score", "levels of the chips"),
    ("Roughness.skewness", "dimensionless"),
    ("Roughness.kurtosis", "dimensionless"),
    ("Roughness.root_mean_square_gradient", "a slope: dimensionless"),
    ("Depth.spike", "a slope: dimensionless"),
    ("Part.pace", "median and sigma of a factor: dimensionless"),
    ("AcidMix.water_parts", "parts of water to one of acid"),
    ("Limits.uneven_absorption", "slowest over quickest: dimensionless"),
    ("Uncertainty.hidden_growth_median", "of a factor: dimensionless"),
    ("Uncertainty.hidden_growth_sigma", "of a factor: dimensionless"),
    ("Uncertainty.hidden_growth_correlation", "of a factor: dimensionless"),
    ("Uncertainty.pace_correlation", "of a factor: dimensionless"),
    ("Uncertainty.material_price_sigma", "of a factor: dimensionless"),
    ("Uncertainty.memory_sigma", "of a factor: dimensionless"),
    ("Figure::on_scale", "on the scale of its test, which it carries"),
    ("Statistic::number", "a count, a share, or on the scale of its test, which it carries"),
];

pub(crate) fn check() -> Result<String, String> {
    let mut found = Vec::new();
    let mut functions = 0;
    for name in CRATES {
        for file in sources(&root().join("crates").join(name).join("src")) {
            let place = file.strip_prefix(root()).unwrap_or(&file).display().to_string();
            if FILES.iter().any(|(listed, _)| *listed == place) {
                continue;
            }
            let mut seen =
                Functions { owner: None, in_trait: false, found: Vec::new(), functions: 0 };
            seen.visit_file(&parsed(&file)?);
            functions += seen.functions;
            found.extend(seen.found.into_iter().map(|function| (place.clone(), function)));
        }
    }
    let used: BTreeSet<&str> = found.iter().map(|(_, function)| function.as_str()).collect();
    let mut wrong: Vec<String> = found
        .iter()
        .filter(|(_, function)| !EXCEPTIONS.iter().any(|(listed, _)| listed == function))
        .map(|(place, function)| {
            format!(
                "{place}: {function} takes, returns or holds a bare number: give it a type with a unit"
            )
        })
        .collect();
    wrong.extend(EXCEPTIONS.iter().filter(|(listed, _)| !used.contains(listed)).map(
        |(listed, _)| format!("xtask/src/numbers.rs: the exception {listed} is needed no more"),
    ));
    if wrong.is_empty() {
        Ok(format!(
            "bare numbers: {functions} public functions and fields looked at, {} listed exceptions",
            EXCEPTIONS.len()
        ))
    } else {
        Err(wrong.join("\n"))
    }
}

struct Functions {
    owner: Option<String>,
    in_trait: bool,
    found: Vec<String>,
    functions: usize,
}

impl Functions {
    fn look(&mut self, public: bool, signature: &syn::Signature) {
        if !public {
            return;
        }
        self.functions += 1;
        let mut bare = Bare(false);
        bare.visit_signature(signature);
        if bare.0 {
            let name = signature.ident.to_string();
            self.found.push(match &self.owner {
                Some(owner) => format!("{owner}::{name}"),
                None => name,
            });
        }
    }
}

impl Functions {
    /// Public fields, or all of a variant's.
    fn fields(&mut self, of: &str, fields: &syn::Fields, all: bool) {
        for (number, field) in fields.iter().enumerate() {
            if !all && !is_public(&field.vis) {
                continue;
            }
            self.functions += 1;
            let mut bare = Bare(false);
            bare.visit_type(&field.ty);
            if bare.0 {
                let name = field.ident.as_ref().map_or(number.to_string(), ToString::to_string);
                self.found.push(format!("{of}.{name}"));
            }
        }
    }
}

fn is_public(visibility: &syn::Visibility) -> bool {
    matches!(visibility, syn::Visibility::Public(_))
}

impl<'a> Visit<'a> for Functions {
    fn visit_item_mod(&mut self, item: &'a syn::ItemMod) {
        // Tests may say plainly what they mean.
        if item.ident != "tests" {
            syn::visit::visit_item_mod(self, item);
        }
    }

    fn visit_item_fn(&mut self, item: &'a syn::ItemFn) {
        self.look(is_public(&item.vis), &item.sig);
    }

    fn visit_item_struct(&mut self, item: &'a syn::ItemStruct) {
        if is_public(&item.vis) {
            self.fields(&item.ident.to_string(), &item.fields, false);
        }
    }

    fn visit_item_enum(&mut self, item: &'a syn::ItemEnum) {
        if is_public(&item.vis) {
            for variant in &item.variants {
                self.fields(&format!("{}.{}", item.ident, variant.ident), &variant.fields, true);
            }
        }
    }

    fn visit_item_impl(&mut self, item: &'a syn::ItemImpl) {
        // Implementations of other people's traits (Mul<f64>) are not ours to type.
        if item.trait_.is_some() {
            return;
        }
        let owner = match item.self_ty.as_ref() {
            syn::Type::Path(path) => {
                path.path.segments.last().map(|segment| segment.ident.to_string())
            }
            _ => None,
        };
        let before = std::mem::replace(&mut self.owner, owner);
        syn::visit::visit_item_impl(self, item);
        self.owner = before;
    }

    fn visit_impl_item_fn(&mut self, item: &'a syn::ImplItemFn) {
        self.look(is_public(&item.vis), &item.sig);
    }

    fn visit_item_trait(&mut self, item: &'a syn::ItemTrait) {
        let before = self.owner.replace(item.ident.to_string());
        self.in_trait = is_public(&item.vis);
        syn::visit::visit_item_trait(self, item);
        self.in_trait = false;
        self.owner = before;
    }

    fn visit_trait_item_fn(&mut self, item: &'a syn::TraitItemFn) {
        self.look(self.in_trait, &item.sig);
    }
}

/// Looks for `f64` or `f32` anywhere in a signature, except inside `impl Fn` bounds.
struct Bare(bool);

impl<'a> Visit<'a> for Bare {
    fn visit_type_path(&mut self, path: &'a syn::TypePath) {
        if path.path.is_ident("f64") || path.path.is_ident("f32") {
            self.0 = true;
        }
        syn::visit::visit_type_path(self, path);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(code: &str) -> Result<Vec<String>, syn::Error> {
        let mut seen = Functions { owner: None, in_trait: false, found: Vec::new(), functions: 0 };
        seen.visit_file(&syn::parse_file(code)?);
        Ok(seen.found)
    }

    #[test]
    fn a_bare_number_in_a_public_signature_is_found() -> Result<(), syn::Error> {
        assert_eq!(found("pub fn dew_point(air: f64) {}")?, ["dew_point"]);
        assert_eq!(
            found("pub struct S; impl S { pub fn area(&self) -> Option<f64> { None } }")?,
            ["S::area"]
        );
        assert_eq!(found("pub fn all(depths: &[f32]) {}")?, ["all"]);
        Ok(())
    }

    #[test]
    fn a_bare_number_in_a_public_field_is_found() -> Result<(), syn::Error> {
        assert_eq!(found("pub struct S { pub mean: Option<f64>, own: f64 }")?, ["S.mean"]);
        assert_eq!(found("pub enum E { A(u32), B { rate: f32 } }")?, ["E.B.rate"]);
        assert!(found("struct S { pub mean: f64 }")?.is_empty());
        Ok(())
    }

    #[test]
    fn private_functions_and_tests_may_use_numbers() -> Result<(), syn::Error> {
        assert!(found("fn inner(x: f64) {} mod tests { pub fn t(x: f64) {} }")?.is_empty());
        Ok(())
    }
}
