//! What lets a browser in: the token of the first address, and the cookie that it gives.

use std::sync::atomic::{AtomicBool, Ordering};

use axum::http::HeaderMap;
use axum::http::header::COOKIE;

use crate::failure::Failure;

/// Where the first address leads, before its token.
pub const DOOR: &str = "/open/";

/// What lets a browser in, new in every process.
pub struct Access {
    /// In the first address.
    token: String,
    used: AtomicBool,
    /// In the cookie.
    pub pass: String,
}

impl Access {
    pub fn new() -> Result<Self, Failure> {
        Ok(Self {
            token: secret()?,
            used: AtomicBool::new(false),
            pass: secret()?,
        })
    }

    /// The path of the first address.
    pub fn door(&self) -> String {
        format!("{DOOR}{}", self.token)
    }

    /// Whether this is the token, and nobody came with it before.
    pub fn admits(&self, token: &str) -> bool {
        same(token, &self.token) && !self.used.swap(true, Ordering::SeqCst)
    }

    pub fn knows(&self, headers: &HeaderMap, port: u16) -> bool {
        let name = cookie(port);
        headers
            .get_all(COOKIE)
            .iter()
            .filter_map(|cookies| cookies.to_str().ok())
            .flat_map(|cookies| cookies.split(';'))
            .filter_map(|cookie| cookie.trim().split_once('='))
            .any(|(found, pass)| found == name && same(pass, &self.pass))
    }
}

/// Thirty-two hexadecimal digits that nobody can guess.
pub fn secret() -> Result<String, Failure> {
    let mut random = [0_u8; 16];
    getrandom::fill(&mut random).map_err(Failure::outside)?;
    Ok(format!("{:032x}", u128::from_ne_bytes(random)))
}

/// Cookies know no ports: benches side by side have each a name of their own.
pub fn cookie(port: u16) -> String {
    format!("midflank-{port}")
}

/// Compares without telling by its time how far two texts agree.
pub fn same(one: &str, other: &str) -> bool {
    one.len() == other.len()
        && one
            .bytes()
            .zip(other.bytes())
            .fold(0, |differs, (a, b)| differs | (a ^ b))
            == 0
}
