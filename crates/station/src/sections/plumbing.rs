//! Lines, valves, pumps, tees and draw points.

use physics::hydraulics::parts::{TubeKind, ValveKind};

use super::{Text, YesNo};
use crate::quantity::{Flow, Fraction, Length, Number, Power, Pressure, Volume};
use crate::register::{Place, PumpTable, choice, section};

choice! {
    #[doc = "What a line is made of"]
    Tube {
        #[doc = "soft hose of vinyl or the like, by its inner diameter"]
        VinylHose = "vinyl hose",
        #[doc = "ribbed hose that doesn't kink, by its inner diameter"]
        CorrugatedHose = "corrugated hose",
        #[doc = "stiff tube for push-fit joints, by its outer diameter"]
        PushFit = "push-fit tube",
        #[doc = "PVC pipe of schedule 40, by its name in inches"]
        Schedule40 = "schedule 40 pipe",
        #[doc = "PVC pipe of schedule 80, by its name in inches"]
        Schedule80 = "schedule 80 pipe",
        #[doc = "metric PVC pipe for 10 bar, by its outer diameter"]
        Metric10Bar = "metric pipe 10 bar",
        #[doc = "metric PVC pipe for 16 bar, by its outer diameter"]
        Metric16Bar = "metric pipe 16 bar",
    }
}

impl Tube {
    /// The kind whose sizes are known.
    pub fn kind(self) -> TubeKind {
        match self {
            Self::VinylHose => TubeKind::VinylHose,
            Self::CorrugatedHose => TubeKind::CorrugatedHose,
            Self::PushFit => TubeKind::PushFit,
            Self::Schedule40 => TubeKind::PvcSchedule40,
            Self::Schedule80 => TubeKind::PvcSchedule80,
            Self::Metric10Bar => TubeKind::PvcMetric10Bar,
            Self::Metric16Bar => TubeKind::PvcMetric16Bar,
        }
    }
}

choice! {
    #[doc = "How a line begins in a vessel or a tank"]
    Entrance {
        #[doc = "flush with the wall, as a bulkhead is"]
        Flush = "flush",
        #[doc = "a tube that reaches in"]
        Projecting = "reaching in",
        #[doc = "with a rounded mouth"]
        Rounded = "rounded",
        #[doc = "behind a strainer"]
        Strainer = "strainer",
    }
}

choice! {
    #[doc = "Where a mixing jet points"]
    Aim {
        #[doc = "from one side up to the far side: the longest way through the water"]
        Across = "across",
        #[doc = "from the floor straight up"]
        Up = "up",
        #[doc = "along the floor, to keep salt moving"]
        Floor = "along the floor",
    }
}

choice! {
    #[doc = "The kind of a valve"]
    Valve {
        #[doc = "ball valve as wide as its line"]
        Ball = "ball",
        #[doc = "ball valve with a narrower ball"]
        NarrowBall = "narrow ball",
        #[doc = "gate valve"]
        Gate = "gate",
        #[doc = "globe valve"]
        Globe = "globe",
        #[doc = "needle valve"]
        Needle = "needle",
        #[doc = "diaphragm valve"]
        Diaphragm = "diaphragm",
        #[doc = "butterfly valve"]
        Butterfly = "butterfly",
        #[doc = "check valve with a flap: water passes from the line's first end to its second only"]
        SwingCheck = "swing check",
        #[doc = "check valve with a spring, likewise"]
        SpringCheck = "spring check",
        #[doc = "solenoid valve"]
        Solenoid = "solenoid",
        #[doc = "valve on a float"]
        Float = "float",
    }
}

impl Valve {
    /// The kind whose losses are known.
    pub fn kind(self) -> ValveKind {
        match self {
            Self::Ball => ValveKind::BallFull,
            Self::NarrowBall => ValveKind::BallReduced,
            Self::Gate => ValveKind::Gate,
            Self::Globe => ValveKind::Globe,
            Self::Needle => ValveKind::Needle,
            Self::Diaphragm => ValveKind::Diaphragm,
            Self::Butterfly => ValveKind::Butterfly,
            Self::SwingCheck => ValveKind::SwingCheck,
            Self::SpringCheck => ValveKind::SpringCheck,
            Self::Solenoid => ValveKind::Solenoid,
            Self::Float => ValveKind::Float,
        }
    }

    /// Whether it opens and closes by the flow alone.
    pub fn is_check(self) -> bool {
        matches!(self, Self::SwingCheck | Self::SpringCheck)
    }

    /// Whether a person or a controller sets it.
    pub fn is_set(self) -> bool {
        !self.is_check() && self != Self::Float
    }
}

impl ValveFields {
    /// Whether it closes once nobody holds it. A coil holds a solenoid valve, no hand.
    pub fn closes_by_itself(&self) -> bool {
        self.self_closing.value && self.kind.value != Valve::Solenoid
    }
}

choice! {
    #[doc = "What moves the water of a task"]
    By {
        #[doc = "gravity, every pump standing"]
        Gravity = "gravity",
        #[doc = "a pump"]
        Pump = "pump",
    }
}

section! {
    #[doc = "A pump. A line that ends at it brings water, a line that begins at it takes water on"]
    PumpFields at "pumps.*";
    #[doc = "Pairs of flow and head, measured or the maker's, from a closed outlet to the most it moves"]
    [required] curve: PumpTable, like "[[\"0 L/min\", \"2.6 m\"], [\"20 L/min\", \"2.0 m\"], [\"38 L/min\", \"0.4 m\"]]";
    #[doc = "Height of its inlet above the room's floor"]
    [required] height: Length, "-3 m" to "6 m", like "\"300 mm\"";
    #[doc = "How far its heads may be off, as their ±"]
    [default "10 %", "common practice, no source: makers' curves are met within 10 %"]
    tolerance: Fraction, "0 %" to "50 %", like "\"10 %\"";
    #[doc = "Flow at which it works best"]
    [optional] best_flow: Flow, "0.1 L/min" to "2000 L/min", like "\"20 L/min\"";
    #[doc = "Power that it draws"]
    [optional] power: Power, "1 W" to "5 kW", like "\"35 W\"";
    #[doc = "Share of that power that ends as heat in the water"]
    [default "80 % ± 20 %", "common practice, no source: all of it in a wet-running motor, 60 % in an air-cooled one"]
    heat_share: Fraction, "10 %" to "100 %", like "\"80 %\"";
    #[doc = "Head of pressure that it needs at its inlet, by its maker (NPSH)"]
    [optional] npsh_required: Length, "0.1 m" to "12 m", like "\"2 m\"";
    #[doc = "Whether it draws water up by itself when it is dry"]
    [default "false", "house rule: small magnetic pumps don't"] primes_itself: YesNo, like "false";
    #[doc = "How high it draws water up when it is dry, where it does"]
    [optional] dry_lift: Length, "0.1 m" to "9 m", like "\"1.5 m\"";
    #[doc = "Whether undissolved salt may go through it"]
    [default "false", "house rule: grains wear bearings"] takes_grains: YesNo, like "false";
    #[doc = "Whether a switch stops it where no water flows: against closed valves, or dry"]
    [default "false", "house rule: small pumps have none"] flow_switch: YesNo, like "true";
    #[doc = "Valves of which one must be open for it to run (an interlock): names with commas between"]
    [optional] runs_only_with: Text, like "\"spout, jet\"";
    #[doc = "Speed at which it runs, as a share of that of its curve"]
    [default "100 %", "house rule: as it was measured"] speed: Fraction, "10 %" to "150 %", like "\"100 %\"";
    #[doc = "Its place in the schematic: column and row, counted from 1 at the upper left; without it the program finds one"]
    [optional] place: Place, like "\"3, 1\"";
}

section! {
    #[doc = "A tee, or any joint where lines meet"]
    TeeFields at "tees.*";
    #[doc = "Height above the room's floor"]
    [required] height: Length, "-3 m" to "6 m", like "\"300 mm\"";
    #[doc = "The line that leaves it at a right angle; the others run straight through"]
    [optional] branch: Text, like "\"spout\"";
    #[doc = "Its place in the schematic: column and row, counted from 1 at the upper left; without it the program finds one"]
    [optional] place: Place, like "\"3, 1\"";
}

section! {
    #[doc = "A draw point: the open end of a line, over a bucket or a jug"]
    DrawFields at "draw_points.*";
    #[doc = "Height of its mouth above the room's floor"]
    [required] height: Length, "-3 m" to "6 m", like "\"420 mm\"";
    #[doc = "Bore of its mouth, where it is narrower than the line"]
    [optional] nozzle: Length, "1 mm" to "100 mm", like "\"13 mm\"";
    #[doc = "What is filled under it"]
    [default "19 L", "house rule: a bucket of 5 US gallons"]
    container: Volume, "0.1 L" to "10 m3", like "\"19 L\"";
    #[doc = "Its place in the schematic: column and row, counted from 1 at the upper left; without it the program finds one"]
    [optional] place: Place, like "\"3, 1\"";
}

section! {
    #[doc = "A line: one length of tube with its fittings, between two ends"]
    LineFields at "lines.*";
    #[doc = "Where it begins: a vessel, pump, tee or tank"]
    [required] from: Text, like "\"fresh\"";
    #[doc = "Where it ends: a vessel, pump, tee, tank or draw point"]
    [required] to: Text, like "\"pump\"";
    #[doc = "Level of its beginning above the floor of its vessel; without it, the vessel's outlet"]
    [optional] from_level: Length, "0 mm" to "6 m", like "\"40 mm\"";
    #[doc = "Level of its end above the floor of its vessel; without it, it pours in over the rim"]
    [optional] to_level: Length, "0 mm" to "6 m", like "\"700 mm\"";
    #[doc = "Height of its end above the room's floor, where it ends or begins in a tank; without it, the tank's water"]
    [optional] tank_height: Length, "-3 m" to "12 m", like "\"900 mm\"";
    #[doc = "What it is made of"]
    [required] tube: Tube, like "\"vinyl hose\"";
    #[doc = "Its nominal size, as it is sold"]
    [required] size: Length, "1 mm" to "200 mm", like "\"3/4 in\"";
    #[doc = "Its bore, where it was measured; it counts in place of the size's"]
    [optional] bore: Length, "1 mm" to "200 mm", like "\"19 mm ± 0.5 mm\"";
    #[doc = "Its length"]
    [required] length: Length, "10 mm" to "500 m", like "\"1.2 m\"";
    #[doc = "Elbows of 90 degrees"]
    [default "0", "house rule"] elbows: Number, "0" to "100", like "2";
    #[doc = "Elbows of 45 degrees"]
    [default "0", "house rule"] half_elbows: Number, "0" to "100", like "1";
    #[doc = "Long bends of 90 degrees"]
    [default "0", "house rule"] bends: Number, "0" to "100", like "1";
    #[doc = "Unions"]
    [default "0", "house rule"] unions: Number, "0" to "100", like "2";
    #[doc = "Couplings and adapters"]
    [default "0", "house rule"] couplings: Number, "0" to "100", like "1";
    #[doc = "Hose barbs"]
    [default "0", "house rule"] barbs: Number, "0" to "100", like "2";
    #[doc = "Bore of its hose barbs, where it was measured; without it 80 % of the line's"]
    [optional] barb_bore: Length, "1 mm" to "200 mm", like "\"15 mm\"";
    #[doc = "How it begins, where that is in a vessel or tank"]
    [default "flush", "common practice, no source: a bulkhead"] entrance: Entrance, like "\"flush\"";
    #[doc = "Bore of its open end in a vessel, where it is narrower: a jet that mixes"]
    [optional] nozzle: Length, "1 mm" to "100 mm", like "\"13 mm\"";
    #[doc = "Where that jet points"]
    [default "across", "common practice, no source: along the longest way through the water"] aim: Aim, like "\"across\"";
    #[doc = "Flow at which its drop was measured; with measured_drop it counts in place of length, bends and fittings, not of its valves"]
    [optional] measured_flow: Flow, "0.01 L/min" to "2000 L/min", like "\"12 L/min\"";
    #[doc = "Pressure that it took at that flow, beyond what its height makes, with what is lost where it ends"]
    [optional] measured_drop: Pressure, "1 Pa" to "10 bar", like "\"45 mbar\"";
    #[doc = "Its highest point above the room's floor, where that is above both its ends"]
    [optional] crest: Length, "-3 m" to "12 m", like "\"1.4 m\"";
    #[doc = "Height above the room's floor of a hole that lets air in and so breaks a siphon"]
    [optional] siphon_break: Length, "-3 m" to "12 m", like "\"1.3 m\"";
    #[doc = "Pressure that its maker rates it for"]
    [optional] rated_pressure: Pressure, "0.05 bar" to "40 bar", like "\"2.5 bar\"";
}

section! {
    #[doc = "A valve in a line, in the order of the file along it"]
    ValveFields at "valves.*";
    #[doc = "The line that it is in"]
    [required] line: Text, like "\"spout\"";
    #[doc = "Its kind"]
    [required] kind: Valve, like "\"ball\"";
    #[doc = "Flow of water in m³/h that it passes fully open at 1 bar, where its maker tells"]
    [optional] kv: Number, "0.001" to "1000", like "6.5";
    #[doc = "The same in US gal/min at 1 psi"]
    [optional] cv: Number, "0.001" to "1000", like "7.5";
    #[doc = "How far it is opened when it is open"]
    [default "100 %", "house rule"] opening: Fraction, "1 %" to "100 %", like "\"100 %\"";
    #[doc = "Whether it closes by itself as soon as a hand lets go of it"]
    [default "false", "house rule"] self_closing: YesNo, like "true";
    #[doc = "The valve that is the other way of the same three-way valve: never both are open"]
    [optional] three_way_with: Text, like "\"salt-outlet\"";
    #[doc = "Pressure that opens it, for a check valve; without it what is usual for its kind"]
    [optional] cracking: Pressure, "0 bar" to "1 bar", like "\"35 mbar\"";
}

section! {
    #[doc = "A valve setting (lineup): which valves are open for one task"]
    LineupFields at "lineups.*";
    #[doc = "Where the water comes from: a vessel or tank"]
    [required] from: Text, like "\"fresh\"";
    #[doc = "Where it goes: a draw point, vessel or tank"]
    [required] to: Text, like "\"spout\"";
    #[doc = "What moves it"]
    [default "gravity", "house rule"] by: By, like "\"gravity\"";
    #[doc = "Which pump, where there are several"]
    [optional] pump: Text, like "\"pump\"";
    #[doc = "The valves that are open, all others closed: names with commas between, or the word none; without it they are found"]
    [optional] open: Text, like "\"outlet, spout\"";
    #[doc = "What is moved; without it a container at a draw point, otherwise all that can be"]
    [optional] volume: Volume, "0.1 L" to "100 m3", like "\"120 L\"";
}
