fn main() {
    let args: Vec<String> = std::env::args().collect();
    let text = std::fs::read_to_string(&args[1]).unwrap();
    let station = station::Station::read(&text).unwrap();
    let proof = proof::prove(&station);
    let t = std::time::Instant::now();
    let pages = sheets::printed(
        &station,
        &proof,
        "station.toml",
        if args.len() > 3 {
            sheets::Paper::Letter
        } else {
            sheets::Paper::A4
        },
    );
    eprintln!("printed {:?} {}", t.elapsed(), pages.pages.len());
    for mark in &pages.bookmarks {
        eprintln!("{} {}", mark.page + 1, mark.title);
    }
    for (at, page) in pages.pages.iter().enumerate() {
        std::fs::write(
            format!("{}-{:02}.png", args[2], at + 1),
            sheets::png(page, 4.0).unwrap(),
        )
        .unwrap();
    }
    let t = std::time::Instant::now();
    std::fs::write(
        format!("{}.html", args[2]),
        sheets::page(&station, &proof, "station.toml"),
    )
    .unwrap();
    eprintln!("page {:?}", t.elapsed());
}
