fn main() {
    let a: Vec<String> = std::env::args().collect();
    let t = reinback_film::FilmTime::from_secs_f64(a[2].parse().unwrap());
    let f = reinback_film::thumbnail(a[1].as_ref(), Some(t), a[4].parse().unwrap()).unwrap();
    let mut s = format!("P6 {} {} 255\n", f.width, f.height).into_bytes();
    for p in f.rgba.chunks_exact(4) {
        s.extend(&p[..3]);
    }
    std::fs::write(&a[3], s).unwrap();
    eprintln!("{:?} {:?}", f, reinback_film::probe(a[1].as_ref()).unwrap());
}
