//! What a finding is about.

use tooth_measure::choice::choices;

choices! {
    /// What findings and questions are about, in the order of the gates.
    Matter {
        /// What people say differently.
        Unsettled = "unsettled", "unsettled";
        /// A reading that looks unlikely.
        Plausibility = "plausibility", "plausibility";
        /// What carries the slab.
        Structure = "structure", "structure";
        /// What lies in the slab.
        EmbeddedItems = "embedded_items", "embedded items";
        /// Lead or asbestos in old films.
        OldCoating = "old_coating", "old coating";
        /// Concrete that fails from inside.
        DeteriorationFromInside = "deterioration_from_inside", "deterioration from inside";
        /// Panels that stand apart.
        Settlement = "settlement", "settlement";
        /// Cracks.
        Cracks = "cracks", "cracks";
        /// Joints.
        Joints = "joints", "joints";
        /// Hollow places.
        HollowConcrete = "hollow_concrete", "hollow concrete";
        /// Broken-out places.
        Spalls = "spalls", "spalls";
        /// How much is to be repaired.
        RepairShare = "repair_share", "repair share";
        /// Mortar lost at the surface.
        Scaling = "scaling", "scaling";
        /// A film on the slab.
        Film = "film", "film";
        /// What an old coating is.
        CoatingIdentity = "coating_identity", "coating identity";
        /// A closed, hard-trowelled surface.
        DenseSurface = "dense_surface", "dense surface";
        /// Oil in the slab.
        Oil = "oil", "oil";
        /// Rust.
        Rust = "rust", "rust";
        /// Salts.
        Efflorescence = "efflorescence", "efflorescence";
        /// A weak skin.
        WeakLayer = "weak_layer", "weak layer";
        /// Aggregate that shows.
        ExposedAggregate = "exposed_aggregate", "exposed aggregate";
        /// Crazing.
        Crazing = "crazing", "crazing";
        /// Hardness.
        ScratchHardness = "scratch_hardness", "scratch hardness";
        /// Carbonation.
        Carbonation = "carbonation", "carbonation";
        /// Chloride.
        Chloride = "chloride", "chloride";
        /// Strength of the slab at its surface.
        PullOffStrength = "pull_off_strength", "pull off strength";
        /// Strength after preparation.
        PullOffRetest = "pull_off_retest", "pull off retest";
        /// Moisture in the slab.
        Moisture = "moisture", "moisture";
        /// pH of the surface.
        SurfacePh = "surface_ph", "surface ph";
        /// Profile by chips.
        Profile = "profile", "profile";
        /// Profile by scan.
        ProfileScan = "profile_scan", "profile scan";
        /// Low spots and falls.
        LowSpots = "low_spots", "low spots";
        /// Damage that a change order speaks of.
        HiddenDamage = "hidden_damage", "hidden damage";
        /// Whether the sheet says enough.
        ProductFit = "product_fit", "product fit";
        /// Air and surface on the day.
        Climate = "climate", "climate";
        /// What a see-through finish shows.
        SeeThrough = "see_through", "see through";
        /// The sample panel.
        SamplePanel = "sample_panel", "sample panel";
    }
}

impl Matter {
    /// Whether tests and signatures settle it, never a person's word.
    #[must_use]
    pub const fn is_settled_by_tests(self) -> bool {
        matches!(self, Self::OldCoating | Self::EmbeddedItems)
    }
}
