//! The system packages Reinback is built and run with: which are missing, and installing them.

use std::process::Command;

use crate::browser;
use crate::run::{Outcome, say, shown, succeeds};

/// What a package is needed for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum For {
    /// Compiling the film engine.
    Build,
    /// Compiling what plays sound.
    Sound,
    /// Opening the window.
    Window,
    /// Making films, for the demo and for tests.
    Films,
    /// Opening the page that the program writes, as a reader's browser would.
    Pages,
}

impl For {
    const fn why(self) -> &'static str {
        match self {
            Self::Build => "to build the film engine against FFmpeg's libraries",
            Self::Sound => "to build the playing of sound against ALSA's library",
            Self::Window => "to open the window",
            Self::Films => "to encode the demo's and the tests' films",
            Self::Pages => "to open the page of the report in a browser",
        }
    }

    /// Whether the rest can do without: its tests say that they were skipped.
    fn is_optional(self) -> bool {
        self == Self::Pages
    }
}

/// How to see that something is there.
enum Probe {
    Program(&'static str, &'static [&'static str]),
    PkgConfig(&'static str),
    /// A library the program loads while it runs.
    Library(&'static str),
    Clang,
    Browser,
}

struct Need {
    what: For,
    apt: &'static str,
    probe: Probe,
}

const fn need(what: For, apt: &'static str, probe: Probe) -> Need {
    Need { what, apt, probe }
}

const NEEDS: [Need; 21] = [
    need(
        For::Build,
        "build-essential",
        Probe::Program("cc", &["--version"]),
    ),
    need(
        For::Build,
        "pkg-config",
        Probe::Program("pkg-config", &["--version"]),
    ),
    need(For::Build, "clang", Probe::Program("clang", &["--version"])),
    need(For::Build, "libclang-dev", Probe::Clang),
    need(For::Build, "libavcodec-dev", Probe::PkgConfig("libavcodec")),
    need(
        For::Build,
        "libavformat-dev",
        Probe::PkgConfig("libavformat"),
    ),
    need(
        For::Build,
        "libavfilter-dev",
        Probe::PkgConfig("libavfilter"),
    ),
    need(For::Build, "libavutil-dev", Probe::PkgConfig("libavutil")),
    need(For::Build, "libswscale-dev", Probe::PkgConfig("libswscale")),
    need(For::Sound, "libasound2-dev", Probe::PkgConfig("alsa")),
    need(For::Window, "libgl1", Probe::Library("libGL.so.1")),
    need(For::Window, "libegl1", Probe::Library("libEGL.so.1")),
    need(
        For::Window,
        "libgl1-mesa-dri",
        Probe::Library("libGLX_mesa.so.0"),
    ),
    need(
        For::Window,
        "libxkbcommon-x11-0",
        Probe::Library("libxkbcommon-x11.so.0"),
    ),
    need(
        For::Window,
        "libxcursor1",
        Probe::Library("libXcursor.so.1"),
    ),
    need(For::Window, "libxi6", Probe::Library("libXi.so.6")),
    need(For::Window, "libxrandr2", Probe::Library("libXrandr.so.2")),
    need(
        For::Window,
        "libx11-xcb1",
        Probe::Library("libX11-xcb.so.1"),
    ),
    need(
        For::Window,
        "libwayland-client0",
        Probe::Library("libwayland-client.so.0"),
    ),
    need(
        For::Films,
        "ffmpeg",
        Probe::Program("ffmpeg", &["-version"]),
    ),
    need(For::Pages, "chromium", Probe::Browser),
];

impl Need {
    fn is_met(&self) -> bool {
        match self.probe {
            Probe::Program(program, arguments) => succeeds(program, arguments),
            Probe::PkgConfig(library) => succeeds("pkg-config", &["--exists", library]),
            Probe::Library(name) => cfg!(not(target_os = "linux")) || loader_knows(name),
            Probe::Browser => browser::chromium().is_some(),
            Probe::Clang => {
                // libclang.so, libclang-14.so.1: not libclang-cpp, which bindings cannot use.
                let numbered = ('0'..='9').map(|digit| format!("libclang-{digit}"));
                let by_name = loader_knows("libclang.so")
                    || numbered.into_iter().any(|name| loader_knows(&name));
                by_name || std::env::var_os("LIBCLANG_PATH").is_some() || cfg!(target_os = "macos")
            }
        }
    }
}

fn loader_knows(library: &str) -> bool {
    let listed = |program: &str| {
        let output = Command::new(program).arg("-p").output().ok()?;
        Some(String::from_utf8_lossy(&output.stdout).contains(library))
    };
    // A user's search path often lacks /sbin.
    listed("ldconfig")
        .or_else(|| listed("/sbin/ldconfig"))
        .unwrap_or(true)
}

/// Installs what is missing for these purposes, after saying which and why.
///
/// # Errors
/// A sentence that says exactly what to install, where it cannot be done from here.
pub(crate) fn ensure(purposes: &[For]) -> Outcome {
    let missing: Vec<&Need> = NEEDS
        .iter()
        .filter(|n| purposes.contains(&n.what) && !n.is_met())
        .collect();
    if missing.is_empty() {
        return Ok(());
    }
    say("Missing on this machine:");
    for need in &missing {
        say(&format!("  {:<22} {}", need.apt, need.what.why()));
    }
    let packages = names(missing.iter().copied());
    if !succeeds("apt-get", &["--version"]) {
        let needed = names(needed(&missing));
        if needed.is_empty() {
            say("Going on without it: what it is needed for is skipped, and says so.");
            return Ok(());
        }
        return Err(elsewhere(&needed));
    }
    apt(&["update", "-qq"])?;
    let mut install = vec!["install", "-y", "-qq", "--no-install-recommends"];
    install.extend(&packages);
    apt(&install)
}

fn names<'a>(needs: impl Iterator<Item = &'a Need>) -> Vec<&'static str> {
    needs.map(|need| need.apt).collect()
}

/// Those of them that nothing goes on without.
fn needed<'a>(missing: &'a [&'a Need]) -> impl Iterator<Item = &'a Need> {
    let needs = missing.iter().copied();
    needs.filter(|need| !need.what.is_optional())
}

fn apt(arguments: &[&str]) -> Outcome {
    let as_root = succeeds("sh", &["-c", "test \"$(id -u)\" = 0"]);
    let mut command = if as_root {
        Command::new("apt-get")
    } else {
        Command::new("sudo")
    };
    if !as_root {
        if !succeeds("sudo", &["-V"]) {
            return Err(format!(
                "These packages need an administrator. Ask for this to be run, then try again:\n  apt-get {}",
                arguments.join(" ")
            ));
        }
        command.args(["DEBIAN_FRONTEND=noninteractive", "apt-get"]);
    }
    shown(
        command
            .env("DEBIAN_FRONTEND", "noninteractive")
            .args(arguments),
    )
}

fn elsewhere(packages: &[&str]) -> String {
    let lines = [
        (
            "Fedora",
            "sudo dnf install gcc pkgconf clang clang-devel chromium ffmpeg-free ffmpeg-free-devel alsa-lib-devel mesa-libGL mesa-libEGL libxkbcommon-x11 libXcursor libXi libXrandr libX11-xcb libwayland-client",
        ),
        (
            "Arch",
            "sudo pacman -S base-devel pkgconf clang chromium ffmpeg alsa-lib mesa libxkbcommon-x11 libxcursor libxi libxrandr wayland",
        ),
        (
            "openSUSE",
            "sudo zypper install gcc pkgconf clang clang-devel chromium ffmpeg ffmpeg-7-libavcodec-devel ffmpeg-7-libavformat-devel ffmpeg-7-libavfilter-devel ffmpeg-7-libswscale-devel alsa-devel Mesa-libGL1 Mesa-libEGL1 libxkbcommon-x11-0",
        ),
        (
            "macOS",
            "brew install pkg-config ffmpeg llvm, and the browser Chromium",
        ),
    ];
    let list: Vec<String> = lines
        .iter()
        .map(|(system, line)| format!("  {system:<9} {line}"))
        .collect();
    format!(
        "No apt-get here, so nothing was installed. Under Debian's names these are needed:\n  {}\n\
         On other systems (names from memory, not tried here):\n{}\n\
         FFmpeg's libraries must be 5.1 or newer. Then run the same command again.",
        packages.join(" "),
        list.join("\n")
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn elsewhere_names_every_package() {
        let text = elsewhere(&["libavcodec-dev", "ffmpeg"]);
        for part in [
            "libavcodec-dev ffmpeg",
            "dnf install",
            "pacman -S",
            "brew install",
            "5.1",
        ] {
            assert!(text.contains(part), "{part} is not named in:\n{text}");
        }
    }

    #[test]
    fn only_a_browser_can_be_done_without() {
        let all: Vec<&Need> = NEEDS.iter().collect();
        let mut left = names(all.iter().copied());
        left.retain(|name| !names(needed(&all)).contains(name));
        assert_eq!(left, ["chromium"]);
    }

    #[test]
    fn every_package_is_named_once() {
        let mut names: Vec<&str> = NEEDS.iter().map(|need| need.apt).collect();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), NEEDS.len());
    }
}
