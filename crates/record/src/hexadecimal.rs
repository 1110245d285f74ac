//! Fixed runs of bytes that people and files write in hexadecimal: hashes, links, keys,
//! signatures.

/// Declares types of so many bytes, each written as lower-case hexadecimal digits.
macro_rules! hexadecimal {
    ($($(#[$doc:meta])* $name:ident, $bytes:literal;)+) => { $(
        $(#[$doc])*
        #[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, serde::Deserialize, schemars::JsonSchema)]
        #[serde(try_from = "String", into = "String")]
        #[schemars(with = "String")]
        pub struct $name([u8; $bytes]);

        impl $name {
            /// From its bytes.
            #[must_use]
            pub fn from_bytes(bytes: [u8; $bytes]) -> Self {
                Self(bytes)
            }

            /// Its bytes.
            #[must_use]
            pub fn as_bytes(&self) -> &[u8; $bytes] {
                &self.0
            }

            /// `None` unless the text is just its digits, in lower case.
            #[must_use]
            pub fn parse(text: &str) -> Option<Self> {
                $crate::hexadecimal::read(text).map(Self)
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
            }
        }

        impl std::fmt::Debug for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                std::fmt::Display::fmt(self, f)
            }
        }

        impl From<$name> for String {
            fn from(value: $name) -> Self {
                value.to_string()
            }
        }

        impl TryFrom<String> for $name {
            type Error = String;
            fn try_from(text: String) -> Result<Self, String> {
                Self::parse(&text).ok_or_else(|| {
                    format!("expected {} hexadecimal digits in lower case, found `{text}`", 2 * $bytes)
                })
            }
        }
    )+ };
}
pub(crate) use hexadecimal;

/// Exactly so many bytes; `None` for anything but their digits in lower case.
pub(crate) fn read<const N: usize>(text: &str) -> Option<[u8; N]> {
    let digits = text.as_bytes();
    let good = |digit: &u8| matches!(digit, b'0'..=b'9' | b'a'..=b'f');
    if digits.len() != 2 * N || !digits.iter().all(good) {
        return None;
    }
    let mut bytes = [0; N];
    for (at, byte) in bytes.iter_mut().enumerate() {
        *byte = u8::from_str_radix(text.get(2 * at..2 * at + 2)?, 16).ok()?;
    }
    Some(bytes)
}
