//! Cases of resin, carbon, evaporation, supply and the cost of a litre.

use super::Case;
use super::water::{HOUR, L_H, LITRE, MG_L, MINUTE};

const DAY: f64 = 86_400.0;
const L_MIN: f64 = LITRE / 60.0;
/// A US gallon, a cubic foot.
const GALLON: f64 = 3.785_411_784e-3;
const CUBIC_FOOT: f64 = 28.316_846_6e-3;
/// 10 000 gr/ft3 in mol of charge per m³ of bed: 21 869 gr/ft3 are 1 eq/L.
const TEN_THOUSAND_GRAINS: f64 = 1e7 / 21_869.0;
/// 25 gr/gal in mol of charge per m³: 17.118 mg/L as CaCO₃ each.
const TWENTY_FIVE_GRAINS: f64 = 25.0 * 17.118 / 50.043;

#[rustfmt::skip]
pub(crate) const CASES: &[Case] = &[
    ("salt-load", &[58.44 * MG_L, 58.44], 1.0, 1e-12, "arithmetic"),
    ("salt-load", &[6.6 * MG_L, 58.44], 0.1136, 0.05 / 58.44, "handbook 3: as much as 5 mg/L of carbon dioxide"),
    ("gas-load", &[5.0 * MG_L], 0.1136, 5e-5, "handbook 3"),
    ("gas-load", &[6.71 * MG_L], 0.152, 5e-4, "handbook 21"),
    ("gas-on-meter", &[5e-3], 2.72e-4, 0.01e-4, "handbook 3 check 4: 5 mg/L, 2.72 µS/cm"),
    ("silica-load", &[60.08 * MG_L, 0.25], 0.25, 5e-5, "arithmetic, on 60.08 g/mol"),
    ("silica-load", &[9.0 * MG_L, 0.0], 0.0, 0.0, "limit: all held back"),
    ("resin-load", &[0.117, 0.152, 0.0], 0.269, 1e-12, "handbook 21"),
    ("resin-load", &[0.117, 0.152, 0.007], 0.276, 1e-12, "arithmetic: with silica"),
    ("gas-share", &[0.152, 0.269], 0.57, 5e-3, "handbook 21"),
    ("resin-life", &[457.0, 0.55 * LITRE, 0.85, 0.227], 940.0 * LITRE, 5.0 * LITRE, "handbook 3"),
    ("resin-life", &[457.0, 0.693 * LITRE, 0.85, 0.269], 1.0, 2e-3, "handbook 21: three digits each"),
    ("resin-life", &[TEN_THOUSAND_GRAINS, 20.0 * CUBIC_FOOT, 1.0, TWENTY_FIVE_GRAINS], 8000.0 * GALLON, 2.0 * GALLON, "handbook 3: 10000 x 20/25 gallons, units of five digits"),
    // Handbook 2, litres for a litre of resin at 0.5 eq/L, all of it used.
    ("resin-life", &[500.0, LITRE, 1.0, 0.579], 863.0 * LITRE, 1.0 * LITRE, "handbook 2: a run of 1 L, load to three digits"),
    ("resin-life", &[500.0, LITRE, 1.0, 0.227], 2199.0 * LITRE, 5.0 * LITRE, "handbook 2: a run of 130 L, load to three digits"),
    ("worse-of-two-beds", &[2.0, 1.5], 1.5, 0.0, "arithmetic"),
    ("worse-of-two-beds", &[1.0, 1.5], 1.0, 0.0, "arithmetic"),
    ("price-of-resins", &[10_000.0, 0.3 * LITRE, 30_000.0, 0.6 * LITRE], 21.0 / (0.9 * LITRE), 1e-9, "arithmetic: 3 and 18 for 0.9 L"),
    ("cost-of-separate-resins", &[10_000.0, LITRE, 2.0, 20_000.0, 2.0 * LITRE, 1.0], 45.0, 1e-12, "arithmetic: 10 in 2 m3, 40 in 1 m3"),
    ("cost-of-resin", &[14_000.0, 0.55 * LITRE, 0.77], 10.0, 1e-12, "arithmetic"),
    ("contact-time", &[0.5 * LITRE, 0.2 * L_MIN, 0.8 * L_MIN], 0.5 * MINUTE, 1e-9, "handbook 5"),
    ("contact-time", &[0.649 * LITRE, 7.79 * L_H, 31.16 * L_H], MINUTE, 0.05, "handbook 21: 0.649 L/min"),
    ("contact-for-chlorine", &[20.0], 2.0 * MINUTE, 1e-9, "handbook 5"),
    // Twice the time for each 10 to 15 degrees: from 20 to 7.5 C.
    ("contact-for-chlorine", &[7.5], 4.0 * MINUTE, 1e-9, "handbook 5, middle of its span"),
    ("contact-for-chlorine", &[28.0], 2.0 * MINUTE, 1e-9, "limit: no discount for warmth"),
    ("contact-for-chloramine", &[20.0], 10.0 * MINUTE, 1e-9, "handbook 5"),
    ("contact-for-chloramine", &[7.5], 20.0 * MINUTE, 1e-9, "handbook 5, middle of its span"),
    ("contact-for-chloramine-catalytic", &[20.0], 6.0 * MINUTE, 1e-9, "handbook 5: the shorter published figure"),
    ("contact-for-chloramine-catalytic", &[7.5], 12.0 * MINUTE, 1e-9, "handbook 5, middle of its span"),
    ("made-beyond-flush", &[100.0, 0.9, 0.1], 90.0, 1e-12, "arithmetic: a tenth goes to the drain"),
    ("cost-as-it-comes", &[10.0, 0.4, 4.0, 1.0], 0.64, 1e-12, "arithmetic: 4 bought at 1, 6 made at 0.4"),
    ("cost-as-it-comes", &[10.0, 0.4, 12.0, 1.0], 1.2, 1e-12, "arithmetic: what comes is paid, used or not"),
    ("cost-as-it-comes", &[10.0, 0.4, 4.0, 1.0, 6.0, 2.0], 1.6, 1e-12, "arithmetic: two deliveries cover it"),
    ("mixable", &[300.0 * LITRE, 20.0, 19.6], 300.0 * LITRE / 0.98, 1e-12, "arithmetic"),
    ("sum-of-concentrations", &[0.4 * MG_L, 1.1 * MG_L], 1.5 * MG_L, 1e-15, "arithmetic"),
    ("filter-life", &[20.0, 2.0 * MG_L, 4.0, 1e10, 1e-3], 4.0, 1e-12, "handbook 5"),
    ("filter-life", &[20.0, 4.0 * MG_L, 4.0, 1e10, 1e-3], 2.0, 1e-12, "arithmetic: twice the chlorine of the test"),
    ("filter-life", &[20.0, 0.5 * MG_L, 4.0, 1e10, 1e-3], 4.0, 1e-12, "arithmetic: no longer than its test"),
    ("filter-life", &[20.0, 2.0 * MG_L, 4.0, 180.0 * DAY, 10.0 * LITRE / DAY], 1.8, 1e-12, "arithmetic: the calendar first"),
    ("filter-life-chloramine", &[20.0, 3.0 * MG_L, 4.0, 1e10, 1e-3], 4.0, 1e-12, "arithmetic: as in its test"),
    ("filter-life-chloramine", &[20.0, 6.0 * MG_L, 4.0, 1e10, 1e-3], 2.0, 1e-12, "arithmetic: twice the test"),
    ("filter-life-by-calendar", &[180.0 * DAY, 10.0 * LITRE / DAY], 1.8, 1e-12, "arithmetic"),
    ("time-to-damage", &[1000.0, 0.05 * MG_L], 2.3 * 365.25 * DAY, 0.05 * 365.25 * DAY, "handbook 5"),
    ("time-to-damage", &[36.0, 0.05 * MG_L], 30.0 * DAY, 1e-3, "handbook 5: 36 mg/L h in 30 days"),
    ("ammonia-left", &[MG_L], 0.198 * MG_L, 5e-4 * MG_L, "handbook 5"),
    // The table gives mass; litres by the density of water, 998.595 at 18 C and 997.047 at 25 C (from memory).
    ("evaporation", &[0.5, 1.0, 18.0, 18.0, 0.3, 0.1, 0.0, 1.0], 2.845_753_043e-5 / 998.595, 1e-5 * 2.85e-8, "evaporation"),
    ("evaporation", &[0.5, 0.5, 18.0, 24.0, 0.3, 0.1, 0.0, 1.0], 1.150_856_172e-5 / 998.595, 1e-5 * 1.15e-8, "evaporation"),
    ("evaporation", &[0.5, 1.0, 25.0, 18.0, 0.5, 0.3, 0.0, 1.0], 4.921_921_490e-5 / 997.047, 1e-5 * 4.92e-8, "evaporation"),
    ("evaporation", &[0.5, 1.0, 25.0, 18.0, 0.5, 0.3, 0.0, 0.7], 0.7 * 4.921_921_490e-5 / 997.047, 1e-5 * 4.92e-8, "evaporation, by a true share"),
    ("evaporation", &[0.5, 1.0, 18.0, 24.0, 0.7, 0.3, 0.0, 1.0], 0.0, 0.0, "evaporation: its vapour condenses, which is no need"),
    // Litres weigh 0.997 kg; the handbook's vapour pressure and latent heat differ by 0.5 % together.
    ("evaporation", &[0.26, 1.0, 26.0, 24.0, 0.5, 0.1, 0.0, 1.0], 1.66e-3 / 0.997 / DAY, 1.2e-5 / DAY, "handbook 9"),
    ("evaporation", &[0.26, 0.5, 26.0, 24.0, 0.5, 0.1, 0.0, 1.0], 0.83e-3 / 0.997 / DAY, 0.9e-5 / DAY, "handbook 9"),
    ("evaporation", &[1.0, 1.0, 25.0, 25.0, 0.5, 0.0, 0.0, 1.0], 4.98e-3 / DAY, 0.03e-3 / DAY, "handbook 9"),
    // Salt takes 0.02 off the vapour's share of 1, the air half of it: 0.48/0.50 is left.
    ("evaporation", &[1.0, 1.0, 25.0, 25.0, 0.5, 0.0, 35.0, 1.0], 0.96 * 4.98e-3 / DAY, 0.04e-3 / DAY, "handbook 9: sea water x 0.98"),
    ("season", &[2e-8, 1e-8, 0.0], 1e-8, 1e-22, "arithmetic: winter"),
    ("season", &[2e-8, 1e-8, 6.0], 2e-8, 1e-22, "arithmetic: summer"),
    ("season", &[2e-8, 1e-8, 2.0], 1.25e-8, 1e-22, "arithmetic: cos 60 degrees is a half"),
    ("made-a-day", &[7.79 * L_H, DAY], 187.0 * LITRE / DAY, 0.5 * LITRE / DAY, "handbook 21"),
    ("made-a-day", &[8.0 * L_H, 3.0 * HOUR], 24.0 * LITRE / DAY, 1e-18, "arithmetic"),
    ("margin", &[187.0, 20.0, 100.0], 107.0, 1e-12, "arithmetic"),
    ("margin", &[50.0, 20.0, 100.0], -30.0, 1e-12, "arithmetic: too little"),
    ("delivered-rate", &[0.4, 4.0 * DAY], 0.1 / DAY, 1e-18, "arithmetic"),
    ("wanted-while-running", &[4.0 * L_H, 6.0 * HOUR], 16.0 * L_H, 1e-15, "arithmetic: a quarter of the day"),
    ("need-beyond", &[100.0, 30.0], 70.0, 1e-12, "arithmetic"),
    ("need-beyond", &[30.0, 100.0], 0.0, 0.0, "arithmetic: more comes than is needed"),
    ("fill-time", &[0.2, 7.79 * L_H], 25.7 * HOUR, 0.05 * HOUR, "handbook 21"),
    ("need-of-a-time", &[0.1 / DAY, 2.0 * DAY], 0.2, 1e-15, "arithmetic"),
    ("how-many", &[0.2, 0.05], 4.0, 1e-12, "arithmetic"),
    ("peak-day", &[0.02 / DAY, 0.3], 0.32, 1e-12, "arithmetic"),
    ("cost-of-feed", &[4.8, 4.0, 0.0, 20.0, 0.0, 4.0], 24.0, 1e-12, "arithmetic: 5 L of feed in a litre"),
    // 4.8 x (5 x (1 + 0.02/20) + 0.01/4).
    ("cost-of-feed", &[4.8, 4.0, 0.02, 20.0, 0.01, 4.0], 24.036, 1e-12, "arithmetic"),
    ("sum-of-prices", &[58.0, 14.0, 6.0], 78.0, 1e-12, "arithmetic"),
    ("cost-of-part", &[58.0, 20.0], 2.9, 1e-12, "arithmetic"),
    // 28 W at 8 L/h are 3.5 kWh/m3.
    ("cost-of-power", &[0.31 / 3.6e6, 28.0, 8.0 * L_H], 1.085, 1e-12, "arithmetic"),
    ("cost-together", &[24.0, 10.0, 3.5, 2.9], 40.4, 1e-12, "arithmetic"),
    ("time-left", &[0.3, 0.1 / DAY], 3.0 * DAY, 1e-6, "arithmetic"),
    // Every week the tanks together take 70 L, this one's change among them.
    ("changes-left", &[0.2, 0.036, 7.0 * DAY, 0.01 / DAY], 200.0 / 70.0, 1e-12, "arithmetic"),
    ("changes-left", &[0.18, 0.036, 7.0 * DAY, 0.036 / (7.0 * DAY)], 5.0, 1e-12, "arithmetic: this tank alone"),
];
