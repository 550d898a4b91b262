//! The door: this computer only, our own pages only, and nothing inside is shown.

use std::io::{BufRead, BufReader, Write};
use std::net::TcpStream;

use super::support::{Bench, Folder, form, request};

#[test]
fn foreign_hosts_and_origins_are_refused() {
    let folder = Folder::new("foreign");
    let bench = Bench::start(&folder, 0, &[]);
    let own = format!("127.0.0.1:{}", bench.port);
    for host in ["evil.example", "127.0.0.1", "127.0.0.1:1", ""] {
        let cookie = ("Cookie", bench.cookie.as_str());
        let answer = request(bench.port, "GET", "/", &[("Host", host), cookie], "");
        assert!(
            [400, 421].contains(&answer.status),
            "{host}: {}",
            answer.status
        );
    }
    let local = format!("localhost:{}", bench.port);
    for host in [&own, &local] {
        let headers = [("Host", host.as_str()), ("Cookie", &bench.cookie)];
        assert_eq!(request(bench.port, "GET", "/", &headers, "").status, 200);
    }
    for origin in ["http://evil.example", "null", "https://127.0.0.1"] {
        for (method, path) in [("GET", "/"), ("POST", "/answer"), ("GET", "/events")] {
            let answer = bench.request(method, path, &[("Origin", origin)], "");
            assert_eq!(answer.status, 403, "{method} {path} from {origin}");
        }
    }
    let site = [
        ("Sec-Fetch-Site", "cross-site"),
        ("Sec-Fetch-Mode", "no-cors"),
    ];
    assert_eq!(bench.request("GET", "/bench.js", &site, "").status, 403);
}

#[test]
fn a_form_without_our_token_does_nothing() {
    let folder = Folder::new("token");
    let bench = Bench::start(&folder, 0, &[]);
    let fields = [
        ("token", "0".repeat(32)),
        ("job", "0".into()),
        ("after", "0".into()),
        ("line", "M10x1.5-6g".into()),
    ];
    let kind = ("Content-Type", "application/x-www-form-urlencoded");
    assert_eq!(
        bench
            .request("POST", "/answer", &[kind], &form(&fields))
            .status,
        403
    );
    assert!(bench.window().question().starts_with("Which thread"));
}

#[test]
fn nothing_inline_and_nothing_from_elsewhere() {
    let folder = Folder::new("csp");
    let bench = Bench::start(&folder, 0, &[]);
    let mut window = bench.window();
    window.enter_all(&super::support::SET_UP);
    window.enter_all(&super::support::ZERO);
    window.enter_all(&super::support::READINGS);
    for path in [
        "/",
        "/?show=budget",
        "/history",
        "/nothing",
        "/bench.css",
        "/bench.js",
    ] {
        let answer = bench.get(path);
        let policy = answer.header("content-security-policy").unwrap();
        assert!(
            policy.contains("default-src 'none'") && !policy.contains("unsafe"),
            "{policy}"
        );
        assert_eq!(answer.header("x-content-type-options"), Some("nosniff"));
        for inline in [" style=\"", "<style", " onclick", "javascript:", "<script>"] {
            assert!(!answer.body.contains(inline), "{inline} in {path}");
        }
        assert!(!answer.body.contains("https://"), "{path}");
    }
    // Page, style and script before the pictures: under 100 kB.
    let size: usize = ["/", "/bench.css", "/bench.js"]
        .iter()
        .map(|path| bench.get(path).body.len())
        .sum();
    assert!(size < 100_000, "{size}");
    #[cfg(target_os = "linux")]
    assert!(
        bench.megabytes("RssAnon") < 12.0,
        "{} MB",
        bench.megabytes("RssAnon")
    );
}

#[test]
fn bodies_are_bounded_and_broken_forms_are_told_so() {
    let folder = Folder::new("bodies");
    let bench = Bench::start(&folder, 0, &[]);
    let kind = ("Content-Type", "application/x-www-form-urlencoded");
    let long = format!("line={}", "x".repeat(100_000));
    assert_eq!(bench.request("POST", "/answer", &[kind], &long).status, 413);
    for body in ["line=x", "job=minus&after=0&token=&line=", "%%%"] {
        let answer = bench.request("POST", "/answer", &[kind], body);
        assert_eq!(answer.status, 422, "{body}");
        assert!(!answer.body.contains("deserialize"), "{}", answer.body);
    }
    assert_eq!(bench.request("POST", "/answer", &[], "line=x").status, 415);
    for path in [
        "/record/zzz",
        "/record/999",
        "/job/x",
        "/job/99999999999999999999",
        "/lot/%FF",
    ] {
        let status = bench.get(path).status;
        assert!([404, 400].contains(&status), "{path}: {status}");
    }
    assert_eq!(bench.get("/job/77").status, 404);
}

#[test]
fn hostile_words_stay_words() {
    let folder = Folder::new("hostile");
    let bench = Bench::start(&folder, 0, &[]);
    let mut window = bench.window();
    window.enter_all(&[
        "M10x1.5-6g",
        "<script>alert(1)</script>",
        "\"><img src=x>",
        "../../etc / <b>",
    ]);
    assert!(!window.page.contains("<script>alert") && !window.page.contains("<img"));
    window.shows("&lt;script&gt;");
    let history = bench.get("/history?part=%3Cscript%3E&since=%22%3E%3Cb%3E");
    assert!(!history.body.contains("<script>") && !history.body.contains("<b>"));
}

/// A channel for answers (RFC 6455, 4.1) is opened to our own pages only.
#[test]
fn a_channel_is_opened_to_our_own_pages_only() {
    let folder = Folder::new("channel");
    let bench = Bench::start(&folder, 0, &[]);
    let own = format!("http://127.0.0.1:{}", bench.port);
    let opened = |host: &str, origin: Option<&str>| -> u16 {
        let mut stream = TcpStream::connect(("127.0.0.1", bench.port)).unwrap();
        let origin = origin.map_or(String::new(), |origin| format!("Origin: {origin}\r\n"));
        write!(
            stream,
            "GET /answers HTTP/1.1\r\nHost: {host}\r\n{origin}Cookie: {}\r\nConnection: Upgrade\r\nUpgrade: websocket\r\n\
             Sec-WebSocket-Version: 13\r\nSec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\n\r\n",
            bench.cookie
        )
        .unwrap();
        let mut line = String::new();
        BufReader::new(stream).read_line(&mut line).unwrap();
        line.split(' ').nth(1).unwrap().parse().unwrap()
    };
    let host = format!("127.0.0.1:{}", bench.port);
    assert_eq!(opened(&host, Some(&own)), 101);
    assert_eq!(opened(&host, Some("http://example.org")), 403);
    assert_eq!(opened(&host, Some("null")), 403);
    assert_eq!(opened(&host, None), 403);
    assert_eq!(opened("example.org", Some(&own)), 421);
}
