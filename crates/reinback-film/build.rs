//! Passes on which FFmpeg is installed: a few structures lost fields in 8.0.

fn main() {
    println!("cargo::rerun-if-changed=build.rs");
    println!("cargo::rustc-check-cfg=cfg(libav_8)");
    // Set by the build script of ffmpeg-sys-the-third from the headers it found.
    if std::env::var_os("DEP_FFMPEG_FFMPEG_8_0").is_some() {
        println!("cargo::rustc-cfg=libav_8");
    }
}
