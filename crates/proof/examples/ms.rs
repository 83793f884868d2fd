use std::time::Instant;
fn main() {
    for f in std::env::args().skip(1) {
        let text = std::fs::read_to_string(&f).unwrap();
        let st = station::Station::read(&text).unwrap();
        let t = Instant::now();
        let p = proof::prove(&st);
        println!("{f} prove {:?}", t.elapsed());
        let m = p.mistakes.unwrap();
        println!(
            "tried {} harmless {} patterns {} time {:?}",
            m.states_tried,
            m.harmless,
            m.patterns_solved,
            t.elapsed()
        );
        for c in &m.counts {
            println!("  {:?} {}", c.kind, c.states);
        }
        for h in &m.hazards {
            println!(
                "  {:22} -> {:15} {:6} {:?} | {:?}  {:.2} L/min {:.0} s",
                format!("{:?}", h.kind),
                h.victim,
                h.situation,
                h.valves_open,
                h.pumps_on,
                h.flow_m3_per_s * 6e4,
                h.seconds_to_harm
            );
        }
        println!("one step");
        for h in &m.one_step {
            println!(
                "  {:16} {} {} : {:22} -> {:12} {:6} {:.2} L/min {:.0} s",
                h.lineup,
                h.moved,
                h.turned,
                format!("{:?}", h.kind),
                h.victim,
                h.situation,
                h.flow_m3_per_s * 6e4,
                h.seconds_to_harm
            );
        }
    }
}
