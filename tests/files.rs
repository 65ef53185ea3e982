//! Files that the program writes: whole or not at all, never in the place of what they are made from.

#![cfg(unix)]
#![allow(clippy::disallowed_methods, reason = "the tests look at the files")]

use std::fs;
use std::os::unix::fs::{MetadataExt, PermissionsExt, symlink};
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

const ALUDEL: &str = env!("CARGO_BIN_EXE_aludel");

/// A folder that is gone at the end of its test, however that ends.
struct Folder(tempfile::TempDir);

impl Folder {
    fn new() -> Folder {
        Folder(tempfile::tempdir().unwrap())
    }

    fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    fn write(&self, name: &str, text: &str) -> PathBuf {
        let path = self.path(name);
        fs::write(&path, text).unwrap();
        path
    }

    /// Runs a command line here.
    fn aludel(&self, arguments: &[&str]) -> Output {
        let mut command = Command::new(ALUDEL);
        command.args(arguments).current_dir(&self.0);
        command.stdin(Stdio::null()).output().unwrap()
    }

    fn names(&self) -> Vec<String> {
        let entries = fs::read_dir(&self.0).unwrap();
        let mut names: Vec<String> = entries
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort();
        names
    }
}

#[track_caller]
fn refused(ended: &Output, kind: &str) -> String {
    let messages = String::from_utf8(ended.stderr.clone()).unwrap();
    assert_eq!(ended.status.code(), Some(2), "{messages}");
    assert!(messages.contains(&format!("error[{kind}]")), "{messages}");
    assert!(messages.contains("hint"), "{messages}");
    messages
}

#[track_caller]
fn well(ended: &Output) {
    let messages = String::from_utf8_lossy(&ended.stderr);
    assert_eq!(ended.status.code(), Some(0), "{messages}");
}

fn mode(path: &Path) -> u32 {
    fs::metadata(path).unwrap().permissions().mode() & 0o7777
}

const SALT: &str = "vessel cup\ncharge cup: 5.844 g NaCl, 100 mL water\n";
/// The same, not laid out.
const CROOKED: &str = "vessel   cup\ncharge cup:5.844 g NaCl,100 mL water\n";

#[test]
fn a_file_is_replaced_with_its_mode_and_behind_its_links() {
    let folder = Folder::new();
    let route = folder.write("salt.route", CROOKED);
    fs::set_permissions(&route, fs::Permissions::from_mode(0o640)).unwrap();
    symlink("salt.route", folder.path("near")).unwrap();
    symlink(folder.path("near"), folder.path("far")).unwrap();
    let before = fs::metadata(&route).unwrap();
    well(&folder.aludel(&["fmt", "--write", "far"]));
    assert_eq!(fs::read_to_string(&route).unwrap(), SALT);
    assert_eq!(mode(&route), 0o640);
    let after = fs::metadata(&route).unwrap();
    assert_eq!((after.uid(), after.gid()), (before.uid(), before.gid()));
    assert_ne!(after.ino(), before.ino(), "it was written over in place");
    for link in ["near", "far"] {
        let kind = fs::symlink_metadata(folder.path(link)).unwrap().file_type();
        assert!(kind.is_symlink(), "{link}");
    }
    // A sheet that is not there yet comes where the link leads, with the mode of any new file.
    symlink("later.txt", folder.path("sheet")).unwrap();
    well(&folder.aludel(&["run", "salt.route", "-o", "sheet"]));
    let new = folder.write("plain", "");
    assert_eq!(mode(&folder.path("later.txt")), mode(&new));
    assert_eq!(
        folder.names(),
        ["far", "later.txt", "near", "plain", "salt.route", "sheet"]
    );
}

#[test]
fn a_write_that_fails_leaves_all_as_it_was() {
    let folder = Folder::new();
    // Longer than the limit that stands for a full disk, laid out as well as before.
    let long =
        CROOKED.to_owned() + &"note   \"a line of forty letters or a few more\"\n".repeat(200);
    folder.write("long.route", &long);
    folder.write("sheet.txt", "an earlier sheet");
    let within_4_kib = |line: &str| {
        let script = format!("trap '' XFSZ; ulimit -f 4; exec {ALUDEL} {line}");
        let mut shell = Command::new("sh");
        shell.args(["-c", &script]).current_dir(&folder.0);
        shell.output().unwrap()
    };
    let names = folder.names();
    for line in [
        "fmt --write long.route",
        "run long.route -o sheet.txt",
        "run long.route -o fresh.txt",
    ] {
        let told = refused(&within_4_kib(line), "unwritable-file");
        assert!(told.contains("still there"), "{told}");
        assert_eq!(folder.names(), names, "{line}");
    }
    let saving = "printf 'note \"a line of forty letters or a few more\"\\n%.0s' $(seq 200) > typed; \
                  echo 'save all.route' >> typed";
    let typed = Command::new("sh")
        .args(["-c", saving])
        .current_dir(&folder.0)
        .status();
    assert!(typed.unwrap().success());
    let told = refused(&within_4_kib("< typed"), "unwritable-file");
    assert!(told.contains("`all.route` was not written"), "{told}");
    assert!(!folder.path("all.route").exists());
    assert_eq!(fs::read_to_string(folder.path("long.route")).unwrap(), long);
    let sheet = fs::read_to_string(folder.path("sheet.txt")).unwrap();
    assert_eq!(sheet, "an earlier sheet");
}

#[test]
fn a_file_under_write_protection_stays() {
    let folder = Folder::new();
    let route = folder.write("salt.route", CROOKED);
    fs::set_permissions(&route, fs::Permissions::from_mode(0o444)).unwrap();
    if fs::OpenOptions::new().write(true).open(&route).is_ok() {
        // Nothing is protected from the superuser.
        return;
    }
    let told = refused(
        &folder.aludel(&["fmt", "--write", "salt.route"]),
        "unwritable-file",
    );
    assert!(told.contains("denied"), "{told}");
    assert_eq!(fs::read_to_string(&route).unwrap(), CROOKED);
    assert_eq!(folder.names(), ["salt.route"]);
}

#[test]
fn a_sheet_does_not_take_the_place_of_what_it_is_made_from() {
    let folder = Folder::new();
    let route = "use \"parts/shelf.route\"\nvessel cup\ncharge cup: 1 mL acid\n";
    let data = "substance NaOH(s): dfH -425.9 kJ/mol, source \"label\"\n";
    folder.write("main.route", route);
    fs::create_dir(folder.path("parts")).unwrap();
    let shelf = "use \"../more.route\"\nbottle acid: HCl 1 mol/L\n";
    folder.write("parts/shelf.route", shelf);
    folder.write("more.route", "vessel jar\n");
    folder.write("own.data", data);
    symlink("main.route", folder.path("soft")).unwrap();
    fs::hard_link(folder.path("more.route"), folder.path("hard")).unwrap();
    fs::create_dir(folder.path("deep")).unwrap();
    for (sheet, what) in [
        ("main.route", "is the route"),
        ("./deep/../main.route", "is the route"),
        ("soft", "is the route"),
        ("parts/shelf.route", "is a file that the route uses"),
        ("more.route", "is a file that the route uses"),
        ("hard", "is a file that the route uses"),
        ("own.data", "is the data"),
    ] {
        let arguments = ["run", "main.route", "--data", "own.data", "-o", sheet];
        let told = refused(&folder.aludel(&arguments), "output-is-input");
        assert!(told.contains(what), "{told}");
    }
    let piped = fs::File::open(folder.path("main.route")).unwrap();
    let mut command = Command::new(ALUDEL);
    command.args(["run", "-", "-o", "main.route"]);
    let command = command.current_dir(&folder.0).stdin(piped);
    refused(&command.output().unwrap(), "output-is-input");
    for (name, text) in [
        ("main.route", route),
        ("parts/shelf.route", shelf),
        ("more.route", "vessel jar\n"),
        ("own.data", data),
    ] {
        assert_eq!(fs::read_to_string(folder.path(name)).unwrap(), text);
    }
    well(&folder.aludel(&["run", "main.route", "--data", "own.data", "-o", "sheet"]));
}

#[test]
fn a_dash_prints_the_sheet_and_a_device_takes_it() {
    let folder = Folder::new();
    folder.write("salt.route", SALT);
    let printed = folder.aludel(&["run", "salt.route"]);
    let dashed = folder.aludel(&["run", "salt.route", "-o", "-"]);
    let device = folder.aludel(&["run", "salt.route", "-o", "/dev/stdout"]);
    well(&dashed);
    assert!(!printed.stdout.is_empty());
    assert_eq!(printed.stdout, dashed.stdout);
    assert_eq!(printed.stdout, device.stdout);
    well(&folder.aludel(&["run", "salt.route", "-o", "/dev/null"]));
    assert_eq!(folder.names(), ["salt.route"]);
    let full = folder.aludel(&["run", "salt.route", "-o", "/dev/full"]);
    refused(&full, "unwritable-file");
}

#[test]
fn a_route_that_fails_leaves_the_sheet_of_before() {
    let folder = Folder::new();
    folder.write("salt.route", SALT);
    well(&folder.aludel(&["run", "salt.route", "-o", "sheet.txt"]));
    let good = fs::read_to_string(folder.path("sheet.txt")).unwrap();
    folder.write(
        "salt.route",
        &(SALT.to_owned() + "take 1 L from cup -> jar\n"),
    );
    let ended = folder.aludel(&["run", "salt.route", "-o", "sheet.txt"]);
    let told = refused(&ended, "sheet-withheld");
    assert!(told.contains("error[too-much]"), "{told}");
    let kept = fs::read_to_string(folder.path("sheet.txt")).unwrap();
    assert_eq!(kept, good);
    // What was expected and did not come is no fault of the route.
    folder.write(
        "salt.route",
        &(SALT.to_owned() + "expect mass(cup) > 1 kg\n"),
    );
    let ended = folder.aludel(&["run", "salt.route", "-o", "sheet.txt"]);
    assert_eq!(ended.status.code(), Some(1));
    let new = fs::read_to_string(folder.path("sheet.txt")).unwrap();
    assert!(new != good && new.contains("1 kg"), "{new}");
}

#[test]
fn many_at_once_leave_one_whole_file() {
    let folder = Folder::new();
    let long = CROOKED.to_owned() + &"note   \"a line\"\n".repeat(5_000);
    let laid = SALT.to_owned() + &"note \"a line\"\n".repeat(5_000);
    for _ in 0..5 {
        folder.write("long.route", &long);
        let all: Vec<_> = (0..8)
            .map(|_| {
                let mut command = Command::new(ALUDEL);
                command.args(["fmt", "--write", "long.route"]);
                command.stderr(Stdio::null());
                command.current_dir(&folder.0).spawn().unwrap()
            })
            .collect();
        for mut one in all {
            one.wait().unwrap();
        }
        assert!(fs::read_to_string(folder.path("long.route")).unwrap() == laid);
        assert_eq!(folder.names(), ["long.route"]);
    }
}

#[test]
fn what_is_saved_at_the_prompt_never_replaces_anything() {
    let folder = Folder::new();
    folder.write("taken.route", "mine");
    symlink("nowhere", folder.path("link")).unwrap();
    folder.write(
        "typed",
        "vessel cup\nsave taken.route\nsave link\nsave new.route\n",
    );
    let mut command = Command::new(ALUDEL);
    let typed = fs::File::open(folder.path("typed")).unwrap();
    let ended = command.stdin(typed).current_dir(&folder.0).output();
    let told = refused(&ended.unwrap(), "unwritable-file");
    assert_eq!(
        told.matches("there is such a file already").count(),
        2,
        "{told}"
    );
    let taken = fs::read_to_string(folder.path("taken.route")).unwrap();
    let new = fs::read_to_string(folder.path("new.route")).unwrap();
    assert_eq!((taken.as_str(), new.as_str()), ("mine", "vessel cup\n"));
    assert_eq!(
        folder.names(),
        ["link", "new.route", "taken.route", "typed"]
    );
}

#[test]
fn a_file_that_uses_itself_by_another_name_is_a_circle() {
    let folder = Folder::new();
    folder.write("a.route", "use \"b.route\"\nvessel cup\n");
    symlink("a.route", folder.path("b.route")).unwrap();
    let told = refused(&folder.aludel(&["check", "a.route"]), "use-cycle");
    assert!(told.contains("a.route → b.route"), "{told}");
    folder.write("c.route", "use \"d.route\"\nvessel cup\n");
    fs::hard_link(folder.path("c.route"), folder.path("d.route")).unwrap();
    refused(&folder.aludel(&["check", "c.route"]), "use-cycle");
    // The same file by two names, side by side, is brought once.
    folder.write("shelf.route", "bottle acid: HCl 1 mol/L\n");
    symlink("shelf.route", folder.path("other.route")).unwrap();
    folder.write("e.route", "use \"shelf.route\"\nuse \"other.route\"\n");
    well(&folder.aludel(&["check", "e.route"]));
}

#[test]
fn what_is_no_plain_file_is_not_used() {
    let folder = Folder::new();
    let made = Command::new("mkfifo").arg(folder.path("pipe")).status();
    assert!(made.unwrap().success());
    symlink("pipe", folder.path("link")).unwrap();
    for odd in ["pipe", "link", "/dev/null", "/dev/stdin", "/dev/zero"] {
        folder.write("main.route", &format!("use \"{odd}\"\n"));
        let told = refused(&folder.aludel(&["check", "main.route"]), "not-a-file");
        assert!(told.contains("a pipe or a device"), "{told}");
        assert!(told.contains("main.route:1:5"), "{told}");
    }
    // The route itself may come through a pipe: somebody named it who waits for it.
    let mut shell = Command::new("sh");
    let script = format!("{{ echo 'vessel cup' > pipe & }}; exec {ALUDEL} check pipe");
    shell.args(["-c", &script]).current_dir(&folder.0);
    well(&shell.output().unwrap());
}

#[test]
fn what_is_too_long_is_said_of_the_right_file() {
    let folder = Folder::new();
    let nine = "# nothing to be seen in this line but words and words\n".repeat(180_000);
    folder.write("main.route", &format!("use \"more.route\"\n{nine}"));
    folder.write("more.route", &nine);
    let told = refused(&folder.aludel(&["check", "main.route"]), "too-large");
    assert!(told.contains("with `more.route` the route"), "{told}");
    folder.write("main.route", &format!("{nine}{nine}"));
    let told = refused(&folder.aludel(&["check", "main.route"]), "too-large");
    assert!(
        told.contains("`main.route` is longer than 16 MiB"),
        "{told}"
    );
    for number in 0..257 {
        folder.write(&format!("s{number}.route"), "");
    }
    let all: String = (0..257).map(|n| format!("use \"s{n}.route\"\n")).collect();
    folder.write("main.route", &all);
    let told = refused(&folder.aludel(&["check", "main.route"]), "too-large");
    assert!(told.contains("at most 256 files"), "{told}");
}

/// What a command line says that has no more memory than that.
#[cfg(target_os = "linux")]
fn within_a_gigabyte(folder: &Folder, line: &str) -> Output {
    let script = format!("ulimit -v {}; exec {ALUDEL} {line}", 1 << 20);
    let mut shell = Command::new("sh");
    let shell = shell.args(["-c", &script]).current_dir(&folder.0);
    shell.output().unwrap()
}

/// Sixteen megabytes of what is wrong in every line took five gigabytes; one is the limit here.
#[test]
#[cfg(target_os = "linux")]
fn megabytes_of_slips_take_no_gigabytes() {
    let folder = Folder::new();
    for (line, kind) in [
        ("}", "stray-brace"),
        ("show\n", "unexpected"),
        ("expect\n", "unexpected"),
        ("note \"Keep it moist\"\r\n", "too-large"),
        ("vessel a { }\n", "stray-block"),
        ("step {", "too-deep"),
        ("\"\n", "unclosed-text"),
    ] {
        let text = line.repeat((16 << 20) / line.len());
        folder.write("big.route", &text);
        refused(&within_a_gigabyte(&folder, "check big.route"), kind);
    }
    for line in ["H2 + ", "CO"] {
        let text = line.repeat((16 << 20) / line.len());
        folder.write("typed", &text);
        refused(
            &within_a_gigabyte(&folder, "balance - < typed"),
            "too-large",
        );
    }
}
