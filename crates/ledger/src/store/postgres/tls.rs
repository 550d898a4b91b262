//! TLS to the server. As with other clients of PostgreSQL, a server proves who it is only where `sslrootcert` names the
//! certificates that are trusted; without it a connection is encrypted, and no more.

use std::path::Path;
use std::sync::Arc;

use rustls::client::danger::{HandshakeSignatureValid, ServerCertVerified, ServerCertVerifier};
use rustls::crypto::{CryptoProvider, ring, verify_tls12_signature, verify_tls13_signature};
use rustls::pki_types::pem::PemObject as _;
use rustls::pki_types::{CertificateDer, ServerName, UnixTime};
use rustls::{ClientConfig, DigitallySignedStruct, Error, RootCertStore, SignatureScheme};
use tokio_postgres_rustls::MakeRustlsConnect;

use crate::AddressFault;

pub(super) fn connector(
    verify: bool,
    root: Option<&Path>,
) -> Result<MakeRustlsConnect, AddressFault> {
    let provider = Arc::new(ring::default_provider());
    let builder = ClientConfig::builder_with_provider(Arc::clone(&provider))
        .with_safe_default_protocol_versions()
        .map_err(|_| AddressFault::SslMode)?;
    let config = match root.filter(|_| verify) {
        Some(file) => builder.with_root_certificates(trusted(file)?),
        None => builder
            .dangerous()
            .with_custom_certificate_verifier(Arc::new(AnyServer(provider))),
    };
    Ok(MakeRustlsConnect::new(config.with_no_client_auth()))
}

fn trusted(file: &Path) -> Result<RootCertStore, AddressFault> {
    let unusable = || AddressFault::RootCertificate {
        file: file.to_owned(),
    };
    let mut store = RootCertStore::empty();
    for certificate in CertificateDer::pem_file_iter(file).map_err(|_| unusable())? {
        let certificate = certificate.map_err(|_| unusable())?;
        store.add(certificate).map_err(|_| unusable())?;
    }
    if store.is_empty() {
        return Err(unusable());
    }
    Ok(store)
}

/// Takes any certificate that the server can sign with.
#[derive(Debug)]
struct AnyServer(Arc<CryptoProvider>);

impl ServerCertVerifier for AnyServer {
    fn verify_server_cert(
        &self,
        _: &CertificateDer<'_>,
        _: &[CertificateDer<'_>],
        _: &ServerName<'_>,
        _: &[u8],
        _: UnixTime,
    ) -> Result<ServerCertVerified, Error> {
        Ok(ServerCertVerified::assertion())
    }

    fn verify_tls12_signature(
        &self,
        message: &[u8],
        certificate: &CertificateDer<'_>,
        signed: &DigitallySignedStruct,
    ) -> Result<HandshakeSignatureValid, Error> {
        let algorithms = &self.0.signature_verification_algorithms;
        verify_tls12_signature(message, certificate, signed, algorithms)
    }

    fn verify_tls13_signature(
        &self,
        message: &[u8],
        certificate: &CertificateDer<'_>,
        signed: &DigitallySignedStruct,
    ) -> Result<HandshakeSignatureValid, Error> {
        let algorithms = &self.0.signature_verification_algorithms;
        verify_tls13_signature(message, certificate, signed, algorithms)
    }

    fn supported_verify_schemes(&self) -> Vec<SignatureScheme> {
        self.0.signature_verification_algorithms.supported_schemes()
    }
}
