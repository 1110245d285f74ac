//! Closed lists of words: each value has the key that files and JSON use. The words that a
//! person reads stand in message files, by list and key.

/// A value out of a closed list.
pub trait Choice: Copy + PartialEq + Sized + 'static {
    /// The name of the list, under which its words stand.
    const LIST: &'static str;
    /// All values, in the order that a person would list them.
    const ALL: &'static [Self];
    /// The word in files and JSON.
    fn key(self) -> &'static str;

    /// Other words that people write for it in files.
    fn also(self) -> &'static [&'static str] {
        &[]
    }

    /// The value with this key, or with another word for it.
    #[must_use]
    fn from_key(key: &str) -> Option<Self> {
        let means = |value: &Self| value.key() == key || value.also().contains(&key);
        Self::ALL.iter().copied().find(means)
    }

    /// All keys, as one text.
    #[must_use]
    fn key_list() -> String {
        Self::ALL.iter().map(|value| value.key()).collect::<Vec<_>>().join(", ")
    }
}

/// Declares an enum and its [`Choice`].
#[macro_export]
macro_rules! choices {
    ($(#[$doc:meta])* $name:ident { $( $(#[$variant_doc:meta])* $variant:ident = $key:literal $(, also $also:literal)*; )+ }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, ::serde::Serialize, ::schemars::JsonSchema)]
        pub enum $name {
            $( $(#[$variant_doc])* #[serde(rename = $key)] $variant, )+
        }

        impl $crate::choice::Choice for $name {
            const LIST: &'static str = stringify!($name);
            const ALL: &'static [Self] = &[$(Self::$variant),+];
            fn key(self) -> &'static str {
                match self { $(Self::$variant => $key),+ }
            }
            fn also(self) -> &'static [&'static str] {
                match self { $(Self::$variant => &[$($also),*]),+ }
            }
        }
    };
}
pub use choices;
