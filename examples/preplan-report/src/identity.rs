//! Which input and which version a sheet belongs to.

use rope_mechanics::operation::site::SiteDocument;
use serde::Serialize;
use sha2::{Digest, Sha256};

/// What stands at the head of every sheet, so that two sheets can be told apart.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct Identity {
    pub(crate) document: SiteDocument,
    /// The first ten hexadecimal digits of the SHA-256 of the site file, as it was read.
    pub(crate) input: String,
    pub(crate) version: String,
}

impl Identity {
    pub(crate) fn new(document: &SiteDocument, version: &str, input: &[u8]) -> Self {
        let digest = Sha256::digest(input);
        let input = digest.iter().take(5).map(|byte| format!("{byte:02x}")).collect();
        Self { document: document.clone(), input, version: version.to_owned() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_checksum_is_that_of_the_standard() {
        // FIPS 180-4, the example "abc": ba7816bf 8f01cfea …
        let identity = Identity::new(&SiteDocument::default(), "1", b"abc");
        assert_eq!(identity.input, "ba7816bf8f");
    }
}
