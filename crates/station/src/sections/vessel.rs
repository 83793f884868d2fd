//! A container of the station.

use super::YesNo;
use crate::quantity::{Kind, Length, Mass, Number, Power, Salinity, Temperature, Time, Volume};
use crate::register::{FieldSpec, Form, Need, Place, Variants, choice, section};

choice! {
    #[doc = "What a vessel holds"]
    Water {
        #[doc = "purified water"]
        Fresh = "fresh",
        #[doc = "salt water, mixed in it"]
        Salt = "salt",
    }
}

choice! {
    #[doc = "How a vessel is filled"]
    Fill {
        #[doc = "a person opens a valve, watches and closes it"]
        ByHand = "by hand",
        #[doc = "a level switch or float opens and closes a valve by itself"]
        Automatic = "automatic",
    }
}

choice! {
    #[doc = "What purified water is for, which decides how much salt spoils it"]
    Purpose {
        #[doc = "topping off tanks, which hold salt anyway: forgiving"]
        TopOff = "top-off",
        #[doc = "mixing batches: a little salt is only counted twice"]
        Mixing = "mixing",
        #[doc = "rinsing instruments and calibrating, where salt is what one measures"]
        Rinsing = "rinsing",
    }
}

impl Purpose {
    /// Practical salinity above which purified water is spoiled for it (house rule: 0.5 raises a tank that is topped off
    /// with a fiftieth of its water a day by 0.01 a day; 1 is a thirty-fifth of a batch's salt; 0.05 is some 100 µS/cm,
    /// which a rinsed probe shows).
    pub fn spoiled_above(self) -> f64 {
        match self {
            Self::TopOff => 0.5,
            Self::Mixing => 1.0,
            Self::Rinsing => 0.05,
        }
    }
}

choice! {
    #[doc = "What covers a vessel, and keeps its water from evaporating"]
    Lid {
        #[doc = "a lid that closes all around"]
        Tight = "tight",
        #[doc = "a lid that lies on it, with gaps for hoses and air"]
        Loose = "loose",
        #[doc = "nothing: it stands open"]
        None = "none",
    }
}

impl Lid {
    /// Share of an open surface's evaporation that passes it (common practice, no source: lids cut 80 to 95 %; one that
    /// closes all around passes hardly any).
    pub fn open_share(self) -> f64 {
        match self {
            Self::Tight => 0.02,
            Self::Loose => 0.15,
            Self::None => 1.0,
        }
    }
}

choice! {
    #[doc = "How much light a vessel's wall lets in"]
    Light {
        #[doc = "none"]
        Opaque = "opaque",
        #[doc = "some: the level shows through, and algae grow"]
        Translucent = "translucent",
        #[doc = "all"]
        Clear = "clear",
    }
}

choice! {
    #[doc = "The wall where a bulkhead goes through"]
    Wall {
        #[doc = "flat and at least 4 mm thick: a gasket seals"]
        FlatThick = "flat and thick",
        #[doc = "curved: a flat gasket seals only on a large radius"]
        Curved = "curved",
        #[doc = "under 4 mm: it creeps under the nut"]
        Thin = "thin",
        #[doc = "nothing goes through the wall: a hose hangs over the rim"]
        Uncut = "uncut",
    }
}

choice! {
    #[doc = "The shape of a vessel, by its inside"]
    ShapeWord {
        #[doc = "upright and round, the same width all the way"]
        Cylinder = "cylinder",
        #[doc = "round, wider or narrower at the top"]
        TaperedRound = "tapered round",
        #[doc = "rectangular with upright walls"]
        Box = "box",
        #[doc = "rectangular, both sides wider or narrower at the top"]
        TaperedBox = "tapered box",
        #[doc = "a round vessel lying on its side, flat ends"]
        HorizontalCylinder = "horizontal cylinder",
        #[doc = "upright and round above a cone that runs to an outlet"]
        ConeBottom = "cone bottom",
        #[doc = "any shape, by measured levels and volumes"]
        Measured = "measured",
    }
}

const fn length(key: &'static str, example: &'static str, help: &'static str) -> FieldSpec {
    FieldSpec {
        key,
        form: Form::Quantity(Kind::Length),
        need: Need::Required,
        range: Some(("10 mm", "12 m")),
        example,
        help,
    }
}

const DIAMETER: FieldSpec = length("diameter", "\"585 mm ± 4 mm\"", "Inner diameter");
const HEIGHT: FieldSpec = length("height", "\"860 mm ± 3 mm\"", "Inner height, floor to rim");
const LENGTH: FieldSpec = length("length", "\"1.2 m\"", "Inner length");
const WIDTH: FieldSpec = length("width", "\"500 mm\"", "Inner width");

/// The dimensions that each shape needs, in the order of its formula.
const SHAPES: &[(&str, &[FieldSpec])] = &[
    ("cylinder", &[DIAMETER, HEIGHT]),
    (
        "tapered round",
        &[
            length("diameter_bottom", "\"540 mm\"", "Inner diameter at the floor"),
            length("diameter_top", "\"600 mm\"", "Inner diameter at the rim"),
            HEIGHT,
        ],
    ),
    ("box", &[LENGTH, WIDTH, HEIGHT]),
    (
        "tapered box",
        &[
            length("length_bottom", "\"1.1 m\"", "Inner length at the floor"),
            length("width_bottom", "\"450 mm\"", "Inner width at the floor"),
            length("length_top", "\"1.2 m\"", "Inner length at the rim"),
            length("width_top", "\"500 mm\"", "Inner width at the rim"),
            HEIGHT,
        ],
    ),
    (
        "horizontal cylinder",
        &[
            length("diameter", "\"600 mm\"", "Inner diameter, which is the height"),
            LENGTH,
        ],
    ),
    (
        "cone bottom",
        &[
            length(
                "cone_outlet_diameter",
                "\"50 mm\"",
                "Inner diameter of the outlet at the tip of the cone",
            ),
            DIAMETER,
            length("cone_height", "\"250 mm\"", "Height of the cone"),
            length("height", "\"1.1 m\"", "Inner height, tip of the cone to rim"),
        ],
    ),
    (
        "measured",
        &[FieldSpec {
            key: "table",
            form: Form::LevelTable,
            need: Need::Required,
            range: None,
            example: "[[\"0 mm\", \"0 L\"], [\"200 mm\", \"46 L\"], [\"400 mm\", \"95 L\"]]",
            help: "Pairs of level above the floor and volume, from the floor to the rim, both rising",
        }],
    ),
];

/// The dimensions of a shape.
pub fn dimensions_of(shape: ShapeWord) -> &'static [FieldSpec] {
    SHAPES
        .iter()
        .find(|(word, _)| *word == shape.word())
        .map_or(&[], |(_, fields)| fields)
}

section! {
    #[doc = "A vessel: a container of the station"]
    VesselFields at "vessels.*", with Variants { key: "shape", cases: SHAPES };
    #[doc = "What it holds"]
    [required] holds: Water, like "\"fresh\"";
    #[doc = "Its inner shape; the dimensions follow from it"]
    [required] shape: ShapeWord, like "\"cylinder\"";
    #[doc = "What its seller calls it"]
    [optional] nominal_volume: Volume, "1 L" to "100 m3", like "\"208 L\"";
    #[doc = "Height of its inner floor above the room's floor"]
    [default "0 mm", "house rule: it stands on the floor"]
    floor_height: Length, "-3 m" to "6 m", like "\"520 mm\"";
    #[doc = "Thickness of its wall"]
    [default "5 mm", "common practice, no source: moulded plastic"]
    wall_thickness: Length, "0.5 mm" to "300 mm", like "\"5 mm\"";
    #[doc = "Its mass when empty"]
    [optional] empty_mass: Mass, "0.1 kg" to "2000 kg", like "\"11 kg\"";
    #[doc = "How it is filled with fresh water"]
    [default "by hand", "house rule: the safer assumption about water that runs in"]
    fill: Fill, like "\"automatic\"";
    #[doc = "Level of its outlet, above its floor; what lies lower can't be drawn"]
    [default "40 mm", "common practice, no source: a bulkhead low in the wall"]
    outlet_level: Length, "0 mm" to "6 m", like "\"40 mm ± 5 mm\"";
    #[doc = "Level at which the fill starts"]
    [optional] start_level: Length, "0 mm" to "6 m", like "\"230 mm ± 5 mm\"";
    #[doc = "Level at which the fill stops"]
    [optional] stop_level: Length, "0 mm" to "6 m", like "\"740 mm ± 5 mm\"";
    #[doc = "Level at which the mechanical backup begins to close"]
    [optional] backup_level: Length, "0 mm" to "6 m", like "\"790 mm ± 8 mm\"";
    #[doc = "Level at which an overflow pipe begins that runs to the drain"]
    [optional] overflow_level: Length, "0 mm" to "6 m", like "\"820 mm ± 5 mm\"";
    #[doc = "Bore of that pipe"]
    [default "26 mm", "house rule: the inside of a 32 mm pipe"] overflow_bore: Length, "4 mm" to "300 mm", like "\"26 mm\"";
    #[doc = "Level under which the pump is switched off"]
    [optional] low_cutout_level: Length, "0 mm" to "6 m", like "\"120 mm ± 5 mm\"";
    #[doc = "Level at which the purifier's tube ends in it; without it, in the air above the rim"]
    [optional] fill_end_level: Length, "0 mm" to "6 m", like "\"700 mm\"";
    #[doc = "What its purified water is for: decides how much salt spoils it"]
    [default "top-off", "house rule: what most purified water is for"] used_for: Purpose, like "\"top-off\"";
    #[doc = "Practical salinity above which its purified water is spoiled, in place of what follows from its use"]
    [optional] spoiled_above: Number, "0.001" to "5", like "0.2";
    #[doc = "How far the salinity of a finished batch may be off before it is spoiled"]
    [default "0.5", "common practice, no source: what animals take in a day"] salinity_tolerance: Number, "0.05" to "5", like "0.5";
    #[doc = "Whether a switch stops the pumps that fill it before it runs over"]
    [default "false", "house rule: the safer assumption"] high_cutout: YesNo, like "true";
    #[doc = "Space that stays free under the rim"]
    [default "40 mm", "house rule"] freeboard: Length, "0 mm" to "1 m", like "\"40 mm\"";
    #[doc = "What one run should make"]
    [optional] run_volume: Volume, "0.1 L" to "100 m3", like "\"140 L\"";
    #[doc = "Salinity of the batches mixed in it"]
    [default "35", "common practice, no source: natural sea water"]
    target_salinity: Salinity, "2" to "42", like "35";
    #[doc = "Temperature at which batches are mixed and kept"]
    [default "24 C", "common practice, no source: a warm reef tank"]
    mixing_temperature: Temperature, "0 C" to "36 C", like "\"24 C\"";
    #[doc = "Power of its heater"]
    [optional] heater: Power, "5 W" to "20 kW", like "\"300 W\"";
    #[doc = "Level that its heater must be under: the top of what gets hot"]
    [optional] heater_level: Length, "0 mm" to "6 m", like "\"260 mm\"";
    #[doc = "Whether its heater switches itself off when it runs dry"]
    [default "false", "house rule: the safer assumption"] heater_cutout: YesNo, like "true";
    #[doc = "Whether the heater keeps its temperature as long as water stands in it; otherwise only while a batch is mixed"]
    [default "true", "house rule: salt water is kept ready for use"] keeps_warm: YesNo, like "false";
    #[doc = "Heat that its chiller takes out"]
    [optional] chiller: Power, "5 W" to "20 kW", like "\"250 W\"";
    #[doc = "Volume of finished salt water in one batch"]
    [optional] batch_volume: Volume, "0.1 L" to "100 m3", like "\"200 L\"";
    #[doc = "Time from one stirring of the water that stands in it to the next, by a pump that draws from it and returns; left out, it stands still"]
    [optional] recirculate_every: Time, "10 min" to "1 year", like "\"1 day\"";
    #[doc = "How long it is stirred each time"]
    [optional] recirculate_for: Time, "1 min" to "1 year", like "\"30 min\"";
    #[doc = "What covers it"]
    [default "loose", "house rule: dust stays out, hoses go in"] lid: Lid, like "\"tight\"";
    #[doc = "Whether it was made to hold liquids"]
    [optional] made_for_liquids: YesNo, like "true";
    #[doc = "Whether its plastic is rated for drinking water"]
    [optional] drinking_water_rated: YesNo, like "true";
    #[doc = "How much light its wall lets in"]
    [optional] light: Light, like "\"opaque\"";
    #[doc = "The wall where a bulkhead goes through"]
    [optional] bulkhead_wall: Wall, like "\"flat and thick\"";
    #[doc = "Its place in the schematic: column and row, counted from 1 at the upper left; without it the program finds one"]
    [optional] place: Place, like "\"3, 1\"";
}
