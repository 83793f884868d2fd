//! Stations by chance: vessels, pumps, tees, headers, rings, long names, given places. The same number makes the same
//! station.

/// Numbers by chance (SplitMix64; Steele, Lea & Flood 2014, from memory).
pub(crate) struct Chance(u64);

impl Chance {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// Below a number.
    fn below(&mut self, count: usize) -> usize {
        (self.next() % count as u64) as usize
    }

    /// From one number to another, both with it.
    fn from(&mut self, least: usize, most: usize) -> usize {
        least + self.below(most - least + 1)
    }

    /// So many times in a hundred.
    fn in_100(&mut self, times: usize) -> bool {
        self.below(100) < times
    }
}

const WORDS: [&str; 16] = [
    "fresh",
    "salt",
    "outlet",
    "spout",
    "jet",
    "header",
    "north",
    "south",
    "by-the-window",
    "pump",
    "over",
    "rim",
    "tall",
    "the-old-boiler-room",
    "reservoir",
    "x",
];
const KINDS: [&str; 11] = [
    "ball",
    "narrow ball",
    "gate",
    "globe",
    "needle",
    "diaphragm",
    "butterfly",
    "swing check",
    "spring check",
    "solenoid",
    "float",
];

/// Who has which name, and which places are taken.
struct Maker {
    chance: Chance,
    count: usize,
    places: Vec<(usize, usize)>,
    placed: bool,
    lines: Vec<(String, String, String)>,
}

impl Maker {
    /// A name of one to four words that no other has.
    fn name(&mut self) -> String {
        self.count += 1;
        let long = if self.chance.in_100(15) { 4 } else { 2 };
        let words = self.chance.from(1, long);
        let name: Vec<&str> = (0..words)
            .map(|_| WORDS[self.chance.below(WORDS.len())])
            .collect();
        format!("{}-{}", name.join("-"), self.count)
    }

    fn place(&mut self) -> String {
        if !self.placed || self.chance.in_100(40) {
            return String::new();
        }
        let place = (self.chance.from(1, 6), self.chance.from(1, 5));
        if self.places.contains(&place) {
            return String::new();
        }
        self.places.push(place);
        format!("place = \"{}, {}\"\n", place.0, place.1)
    }

    fn line(&mut self, from: &str, to: &str) {
        let name = self.name();
        self.lines.push((name, from.to_owned(), to.to_owned()));
    }

    fn one<'n>(&mut self, names: &'n [String]) -> &'n str {
        &names[self.chance.below(names.len())]
    }
}

/// A station file by chance.
pub(crate) fn station(seed: u64) -> String {
    let chance = Chance::new(seed);
    let mut maker = Maker {
        chance,
        count: 0,
        places: Vec::new(),
        placed: false,
        lines: Vec::new(),
    };
    maker.placed = maker.chance.in_100(30);
    let mut text = "title = \"By chance\"\n".to_owned();
    let mut vessels = Vec::new();
    for at in 0..maker.chance.from(1, 4) {
        let name = maker.name();
        let place = maker.place();
        let holds = if at == 0 || maker.chance.in_100(50) {
            "fresh"
        } else {
            "salt"
        };
        let fill = if maker.chance.in_100(50) {
            "automatic"
        } else {
            "by hand"
        };
        text += &format!(
            "[vessels.{name}]\nholds = \"{holds}\"\nshape = \"cylinder\"\ndiameter = \"600 mm\"\nheight = \"900 mm\"\n\
             floor_height = \"300 mm\"\nfill = \"{fill}\"\noutlet_level = \"50 mm\"\nlow_cutout_level = \"100 mm\"\n\
             start_level = \"300 mm\"\nstop_level = \"700 mm\"\n{place}"
        );
        vessels.push(name);
    }
    text += "[salt]\nlabel = \"20 kg makes 540 L at 35 and 25 C, finished\"\nbag = \"20 kg\"\n";
    let tanks: Vec<String> = (0..maker.chance.from(0, 2)).map(|_| maker.name()).collect();
    for name in &tanks {
        let place = maker.place();
        text += &format!(
            "[tanks.{name}]\nvolume = \"900 L\"\nsalinity = 35\ntemperature = \"24 C\"\nwater_height = \"500 mm\"\n\
             evaporation = \"9 L/day\"\n{place}"
        );
    }
    let tees: Vec<String> = (0..maker.chance.from(1, 8)).map(|_| maker.name()).collect();
    for name in &tees {
        let place = maker.place();
        text += &format!("[tees.{name}]\nheight = \"300 mm\"\n{place}");
    }
    let pumps: Vec<String> = (0..maker.chance.from(0, 2)).map(|_| maker.name()).collect();
    for name in &pumps {
        let place = maker.place();
        text += &format!(
            "[pumps.{name}]\ncurve = [[\"0 L/min\", \"4.5 m\"], [\"45 L/min\", \"0 m\"]]\nheight = \"300 mm\"\n{place}"
        );
    }
    let draws = join(&mut maker, &vessels, &tanks, &tees, &pumps);
    for name in &draws {
        let place = maker.place();
        text += &format!("[draw_points.{name}]\nheight = \"250 mm\"\n{place}");
    }
    let lines = maker.lines.clone();
    for (name, from, to) in &lines {
        text += &format!(
            "[lines.{name}]\nfrom = \"{from}\"\nto = \"{to}\"\ntube = \"vinyl hose\"\nsize = \"25 mm\"\nlength = \"9 m\"\n\
             barbs = 2\n"
        );
        if maker.chance.in_100(15) {
            text += "crest = \"2 m\"\nsiphon_break = \"1.9 m\"\n";
        }
        if vessels.contains(to) && maker.chance.in_100(40) {
            text += "to_level = \"100 mm\"\n";
        }
    }
    for _ in 0..maker.chance.from(0, 24) {
        let name = maker.name();
        let line = lines[maker.chance.below(lines.len())].0.clone();
        let kind = KINDS[maker.chance.below(KINDS.len())];
        text += &format!("[valves.{name}]\nline = \"{line}\"\nkind = \"{kind}\"\n");
    }
    text + &purifier(&mut maker)
}

/// Lines between them: each tee has what comes and what goes on, each pump both; a few more close rings. Gives the names of
/// the draw points at their ends.
fn join(
    maker: &mut Maker,
    vessels: &[String],
    tanks: &[String],
    tees: &[String],
    pumps: &[String],
) -> Vec<String> {
    let mut draws = Vec::new();
    let header = maker.chance.in_100(40);
    for (at, tee) in tees.iter().enumerate() {
        let from = match at {
            // A header: one tee behind the other. Otherwise any tee before, or a vessel.
            1.. if header => tees[at - 1].clone(),
            1.. if maker.chance.in_100(60) => maker.one(&tees[..at]).to_owned(),
            _ => maker.one(vessels).to_owned(),
        };
        maker.line(&from, tee);
        let most = if maker.chance.in_100(15) { 5 } else { 2 };
        for _ in 0..maker.chance.from(1, most) {
            match maker.chance.below(10) {
                0..=3 => {
                    let name = maker.name();
                    maker.line(tee, &name);
                    draws.push(name);
                }
                4 | 5 if !tanks.is_empty() => {
                    let tank = maker.one(tanks).to_owned();
                    maker.line(tee, &tank);
                }
                6 if at > 0 => {
                    // Back to one before: a ring.
                    let other = maker.one(&tees[..at]).to_owned();
                    maker.line(tee, &other);
                }
                _ => {
                    let vessel = maker.one(vessels).to_owned();
                    maker.line(tee, &vessel);
                }
            }
        }
    }
    for pump in pumps {
        let from = match maker.chance.in_100(50) {
            true => maker.one(tees).to_owned(),
            false => maker.one(vessels).to_owned(),
        };
        let to = match maker.chance.in_100(50) {
            true => maker.one(tees).to_owned(),
            false => maker.one(vessels).to_owned(),
        };
        maker.line(&from, pump);
        maker.line(pump, &to);
    }
    if maker.chance.in_100(30) {
        let name = maker.name();
        let from = maker.one(vessels).to_owned();
        maker.line(&from, &name);
        draws.push(name);
    }
    draws
}

fn purifier(maker: &mut Maker) -> String {
    if maker.chance.in_100(35) {
        return String::new();
    }
    let order = |maker: &mut Maker| {
        if maker.chance.in_100(50) {
            "series"
        } else {
            "parallel"
        }
    };
    let mut text = "[feed]\npressure = \"4.2 bar\"\ncoldest = \"6 C\"\nwarmest = \"17 C\"\n\
                    conductivity = \"430 uS/cm\"\n[purifier]\ncontrol = \"level switches\"\nwaste_ratio = 4\n"
        .to_owned();
    text += &format!(
        "membrane_order = \"{}\"\nbed_order = \"{}\"\n",
        order(maker),
        order(maker)
    );
    for (key, value) in [
        ("feed_valve", "true"),
        ("check_valve", "true"),
        ("booster_pressure", "\"5 bar\""),
    ] {
        if maker.chance.in_100(50) {
            text += &format!("{key} = {value}\n");
        }
    }
    for _ in 0..maker.chance.from(0, 3) {
        text += &format!("[filters.{}]\nkind = \"sediment\"\n", maker.name());
    }
    for _ in 0..maker.chance.from(1, 3) {
        text += &format!(
            "[membranes.{}]\nrated_flow = \"75 gal/day\"\nrated_pressure = \"60 psi\"\nrated_solids = \"250 mg/L\"\n\
             rejection = \"98 %\"\n",
            maker.name()
        );
    }
    for _ in 0..maker.chance.from(0, 2) {
        text += &format!("[resin_beds.{}]\nvolume = \"0.5 L\"\n", maker.name());
    }
    text
}
