#[path = "../tests/random_station/mod.rs"]
mod random_station;
fn main() {
    let args: Vec<String> = std::env::args().collect();
    let text = match args[1].parse::<u64>() {
        Ok(seed) => random_station::station(seed),
        _ => std::fs::read_to_string(&args[1]).unwrap(),
    };
    let station = station::Station::read(&text).unwrap_or_else(|f| panic!("{f:?}"));
    let width: f64 = args[2].parse().unwrap();
    let tags = if args.iter().any(|a| a == "isa") {
        sheets::Tags::Isa
    } else {
        sheets::Tags::Owner
    };
    let proof = args.get(4).map(|_| proof::prove(&station));
    let lineup = proof.as_ref().and_then(|p| {
        p.lineups
            .as_ref()?
            .lineups
            .iter()
            .find(|l| l.name == args[4])
            .cloned()
    });
    let drawing = sheets::schematic(&station, lineup.as_ref(), tags, width).expect("drawn");
    eprintln!("{} x {}", drawing.width_mm, drawing.height_mm);
    std::fs::write(&args[3], sheets::png(&drawing, 6.0).unwrap()).unwrap();
}
