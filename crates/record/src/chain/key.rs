//! Keys that sign heads, and their signatures: Ed25519 (RFC 8032).

use std::fmt;

use ed25519_dalek::{Signature, Signer as _, SigningKey, VerifyingKey};

use crate::hexadecimal::hexadecimal;

hexadecimal! {
    /// The public half of an installation's key, 64 hexadecimal digits.
    PublicKey, 32;
    /// An Ed25519 signature, 128 hexadecimal digits.
    HeadSignature, 64;
}

impl PublicKey {
    /// Whether it signed exactly these bytes.
    pub(super) fn signed(&self, bytes: &[u8], signature: &HeadSignature) -> bool {
        let Ok(key) = VerifyingKey::from_bytes(&self.0) else { return false };
        key.verify_strict(bytes, &Signature::from_bytes(&signature.0)).is_ok()
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
