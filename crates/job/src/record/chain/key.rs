//! Keys that sign heads, and their signatures: Ed25519 (RFC 8032).

use std::fmt;

use ed25519_dalek::{Signature, Signer as _, SigningKey, VerifyingKey};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

fn hexadecimal(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

fn from_hexadecimal<const N: usize>(text: &str) -> Option<[u8; N]> {
    if text.len() != 2 * N || !text.bytes().all(|b| matches!(b, b'0'..=b'9' | b'a'..=b'f')) {
        return None;
    }
    let mut bytes = [0; N];
    for (at, byte) in bytes.iter_mut().enumerate() {
        *byte = u8::from_str_radix(text.get(2 * at..2 * at + 2)?, 16).ok()?;
    }
    Some(bytes)
}

/// The public half of an installation's key.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(try_from = "String", into = "String")]
#[schemars(with = "String")]
pub struct PublicKey([u8; 32]);

impl PublicKey {
    /// From its 32 bytes.
    #[must_use]
    pub fn from_bytes(bytes: [u8; 32]) -> Self {
        Self(bytes)
    }

    /// Its 32 bytes.
    #[must_use]
    pub fn as_bytes(&self) -> &[u8; 32] {
        &self.0
    }

    /// Whether it signed exactly these bytes.
    pub(super) fn signed(&self, bytes: &[u8], signature: &HeadSignature) -> bool {
        let Ok(key) = VerifyingKey::from_bytes(&self.0) else { return false };
        key.verify_strict(bytes, &Signature::from_bytes(&signature.0)).is_ok()
    }

    /// `None` unless the text is 64 hexadecimal digits in lower case.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        from_hexadecimal(text).map(Self)
    }
}

impl fmt::Display for PublicKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&hexadecimal(&self.0))
    }
}

impl From<PublicKey> for String {
    fn from(key: PublicKey) -> Self {
        key.to_string()
    }
}

impl TryFrom<String> for PublicKey {
    type Error = String;
    fn try_from(text: String) -> Result<Self, String> {
        Self::parse(&text).ok_or_else(|| "expected a key of 64 hexadecimal digits".to_owned())
    }
}

/// The key of an installation. It never shows itself.
#[derive(Clone)]
pub struct InstallationKey(SigningKey);

impl InstallationKey {
    /// From its 32 secret bytes.
    #[must_use]
    pub fn from_bytes(secret: &[u8; 32]) -> Self {
        Self(SigningKey::from_bytes(secret))
    }

    /// Its signature under some bytes.
    pub(super) fn signature(&self, bytes: &[u8]) -> HeadSignature {
        HeadSignature(self.0.sign(bytes).to_bytes())
    }

    /// Its public half.
    #[must_use]
    pub fn public(&self) -> PublicKey {
        PublicKey(self.0.verifying_key().to_bytes())
    }
}

impl fmt::Debug for InstallationKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "InstallationKey({})", self.public())
    }
}

/// An Ed25519 signature, 128 hexadecimal digits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(try_from = "String", into = "String")]
#[schemars(with = "String")]
pub struct HeadSignature([u8; 64]);

impl HeadSignature {
    /// From its 64 bytes.
    #[must_use]
    pub fn from_bytes(bytes: [u8; 64]) -> Self {
        Self(bytes)
    }

    /// Its 64 bytes.
    #[must_use]
    pub fn as_bytes(&self) -> &[u8; 64] {
        &self.0
    }
}

impl From<HeadSignature> for String {
    fn from(signature: HeadSignature) -> Self {
        hexadecimal(&signature.0)
    }
}

impl TryFrom<String> for HeadSignature {
    type Error = String;
    fn try_from(text: String) -> Result<Self, String> {
        from_hexadecimal(&text)
            .map(Self)
            .ok_or_else(|| "expected a signature of 128 hexadecimal digits".to_owned())
    }
}
