//! Keys of what can fail and of what contains it: what they are without a word, what is read, and every refusal with what
//! it underlines and how it is mended.

mod random;
mod refused;
mod said;

/// A sound little station; the remarks tell its lines apart.
const SOUND: &str = r#"title = "One drum"
[room]
tray = "40 L"
tray_drained = true
[vessels.north]
holds = "fresh"
shape = "cylinder"
diameter = "600 mm"
height = "900 mm"
stop_level = "740 mm"
backup_level = "790 mm"
overflow_level = "830 mm ± 5 mm"
overflow_bore = "36 mm"
[feed]
pressure = "4 bar"
coldest = "7 C"
warmest = "18 C"
[purifier]
control = "float alone"
feed_limiter = "5 L/min"
[membranes.first]
rated_flow = "75 gal/day"
rated_pressure = "60 psi"
rated_solids = "250 mg/L"
rejection = "97 %"
[failures.backup-float]
soonest = "11 years"
latest = "60 years"
tested_every = "3 months"
tested_last = "2026-09-14"
[failures.leak-detector]
tested_every = "1 year"
[failures.task]
soonest = "30 days" # task
latest = "2 years" # task
[prices]
leak_detector = "35 EUR"
feed_valve = "42 EUR"
float_valve = "22 EUR"
overflow_pipe = "30 EUR"
tray = "55 EUR"
feed_limiter = "16 EUR"
heater_cutout = "32 EUR"
"#;

/// A station without any of these keys.
const BARE: &str = "title = \"x\"\n[vessels.a]\nholds = \"fresh\"\nshape = \"cylinder\"\ndiameter = \"600 mm\"\nheight = \"900 mm\"\n[feed]\npressure = \"4 bar\"\ncoldest = \"7 C\"\nwarmest = \"18 C\"\n[purifier]\ncontrol = \"float alone\"\n[membranes.first]\nrated_flow = \"75 gal/day\"\nrated_pressure = \"60 psi\"\nrated_solids = \"250 mg/L\"\nrejection = \"97 %\"\n";
