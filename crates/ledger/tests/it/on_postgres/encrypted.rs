//! TLS to the server: asked for, and with a server that proves who it is.

use std::path::{Path, PathBuf};

use ledger::{AddressFault, Error, Ledger, OpenOptions, Server};

use crate::books::draft;
use crate::cluster::{Cluster, OWNER, as_user};

/// Certificates of a server at 127.0.0.1, in a folder of the one who runs it; removed at the end.
struct Certificates(PathBuf);

impl Certificates {
    fn new() -> Self {
        let name = format!("ledger-tls-{}", std::process::id());
        let folder = std::env::temp_dir().join(name);
        assert!(as_user("mkdir").arg(&folder).status().unwrap().success());
        let certificates = Self(folder);
        let name = "-subj /CN=127.0.0.1 -addext subjectAltName=IP:127.0.0.1";
        certificates.make("req -x509 -days 2 -keyout ca.key -out ca.pem -subj /CN=shop");
        certificates.make("req -x509 -days 2 -keyout other.key -out other.pem -subj /CN=other");
        certificates.make(&format!(
            "req -x509 -days 2 -CA ca.pem -CAkey ca.key -keyout server.key -out server.pem {name} \
             -addext basicConstraints=critical,CA:FALSE"
        ));
        certificates
    }

    fn make(&self, arguments: &str) {
        let output = as_user("openssl")
            .args(arguments.split(' '))
            .args("-newkey ec -pkeyopt ec_paramgen_curve:P-256 -noenc".split(' '))
            .current_dir(&self.0)
            .output()
            .unwrap();
        let said = String::from_utf8_lossy(&output.stderr);
        assert!(output.status.success(), "{arguments}: {said}");
    }
}

impl Drop for Certificates {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

#[test]
fn a_connection_is_encrypted_and_a_server_proves_who_it_is_where_that_is_asked_for() {
    let certificates = Certificates::new();
    let file = |name: &str| certificates.0.join(name).display().to_string();
    let (certificate, key) = (file("server.pem"), file("server.key"));
    let cluster = Cluster::start(&format!(
        "fsync=off\nssl=on\nssl_cert_file='{certificate}'\nssl_key_file='{key}'"
    ));
    let name = cluster.empty_database();
    let address = cluster.tcp_address(OWNER, &name);
    Ledger::prepare_server(&address, &[]).unwrap();
    let encrypted = |options: &str| {
        let ledger = Ledger::open(format!("{address}?{options}")).unwrap();
        ledger.append(&draft("A-1", "mic-04")).unwrap();
        let sql = "SELECT DISTINCT ssl FROM pg_stat_ssl JOIN pg_stat_activity USING (pid)
                   WHERE application_name = 'midflank'";
        cluster.sql(&name, sql).trim() == "t"
    };
    assert!(!encrypted("sslmode=disable"));
    assert!(encrypted("sslmode=prefer"));
    assert!(encrypted("sslmode=require"));
    assert!(encrypted("sslmode=require&channel_binding=require"));
    let root = file("ca.pem");
    assert!(encrypted(&format!(
        "sslmode=verify-full&sslrootcert={root}"
    )));

    // Certified by somebody else, or for another name.
    let impatient = OpenOptions::new().patience(std::time::Duration::ZERO);
    let other = file("other.pem");
    let by_name = address.replace("127.0.0.1", "localhost");
    for wrong in [
        format!("{address}?sslmode=verify-full&sslrootcert={other}"),
        format!("{by_name}?sslmode=verify-full&sslrootcert={root}"),
    ] {
        let refused = impatient.open(&wrong);
        let what = Server::Unreachable {
            detail: String::new(),
        };
        assert!(
            matches!(&refused, Err(Error::Server { what: found, .. }) if found.code() == what.code()),
            "{refused:?}"
        );
    }
    let none = Ledger::open(format!("{address}?sslmode=verify-full&sslrootcert={key}"));
    assert!(matches!(
        none,
        Err(Error::Address { why: AddressFault::RootCertificate { file }, .. }) if file == Path::new(&key)
    ));
}
