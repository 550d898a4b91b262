//! Which file system a file lies on.

use std::fs;
use std::path::{Path, PathBuf};

/// File systems that lie on another computer. There the locks of SQLite do not hold between computers, and the memory that
/// readers and writers share is not shared (<https://sqlite.org/wal.html>, section 1).
const NETWORK: [&str; 22] = [
    "9p",
    "afs",
    "beegfs",
    "ceph",
    "cifs",
    "coda",
    "davfs",
    "fuse.ceph",
    "fuse.davfs",
    "fuse.glusterfs",
    "fuse.rclone",
    "fuse.s3fs",
    "fuse.smbnetfs",
    "fuse.sshfs",
    "glusterfs",
    "lustre",
    "ncpfs",
    "nfs",
    "nfs4",
    "smb3",
    "smbfs",
    "vboxsf",
];

/// The type of the network file system that a path lies on, or will lie on; none where it is another, and where the
/// operating system does not list its mounts.
pub(crate) fn network_file_system(path: &Path) -> Option<String> {
    let list = fs::read("/proc/self/mountinfo").ok()?;
    let there = path
        .ancestors()
        .find_map(|folder| fs::canonicalize(Path::new(".").join(folder)).ok())?;
    let kind = file_system(&String::from_utf8_lossy(&list), &there)?;
    NETWORK.contains(&kind.as_str()).then_some(kind)
}

/// The type of the file system under a path, from the list of mounts (proc_pid_mountinfo(5)).
fn file_system(list: &str, path: &Path) -> Option<String> {
    let mounts = list.lines().filter_map(|line| {
        let (before, after) = line.split_once(" - ")?;
        let point = unescaped(before.split(' ').nth(4)?);
        let depth = point.components().count();
        path.starts_with(point)
            .then_some((depth, after.split(' ').next()?))
    });
    // Of several at one place the last covers the others.
    let deepest = mounts.max_by_key(|(depth, _)| *depth);
    deepest.map(|(_, kind)| kind.to_owned())
}

/// A mount point, in which a space is written as `\040`.
fn unescaped(text: &str) -> PathBuf {
    [
        ("\\040", " "),
        ("\\011", "\t"),
        ("\\012", "\n"),
        ("\\134", "\\"),
    ]
    .into_iter()
    .fold(text.to_owned(), |text, (code, sign)| {
        text.replace(code, sign)
    })
    .into()
}

#[cfg(test)]
mod tests {
    use super::*;

    const MOUNTS: &str = "\
        21 1 8:1 / / rw,relatime - ext4 /dev/sda1 rw\n\
        30 21 0:40 / /shop rw shared:1 - nfs4 server:/shop rw\n\
        31 30 8:2 / /shop/local rw - ext4 /dev/sdb1 rw\n\
        32 21 0:41 / /my\\040share rw - cifs //server/share rw\n\
        33 21 0:42 / /covered rw - nfs server:/a rw\n\
        34 21 8:3 / /covered rw - xfs /dev/sdc1 rw\n";

    #[test]
    fn the_deepest_mount_counts() {
        for (path, kind) in [
            ("/home/a/ledger.db", "ext4"),
            ("/shop/ledger.db", "nfs4"),
            ("/shopping/ledger.db", "ext4"),
            ("/shop/local/ledger.db", "ext4"),
            ("/my share/ledger.db", "cifs"),
            ("/covered/ledger.db", "xfs"),
        ] {
            assert_eq!(file_system(MOUNTS, Path::new(path)).as_deref(), Some(kind));
        }
    }

    #[test]
    fn the_disk_of_this_computer_is_no_network() {
        let file = std::env::temp_dir().join("no such folder/ledger.db");
        assert_eq!(network_file_system(&file), None);
        assert_eq!(network_file_system(Path::new("ledger.db")), None);
    }
}
