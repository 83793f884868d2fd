//! The questions. An answer stands in each already, so that one can press straight through.

use std::sync::Arc;

use axum::extract::State;
use axum::response::Html;
use maud::{Markup, html};

use super::super::bench::Bench;
use super::super::frame::{Framed, Place, framed};
use crate::task::begin::{Field, Units};

/// A question that is typed: its field, its words, the usual answer in litres and in gallons, what is said below it.
struct Typed {
    field: &'static str,
    asks: &'static str,
    usual: [&'static str; 2],
    /// What an empty field stands for; nothing where it must be filled.
    empty: &'static str,
    like: [&'static str; 2],
}

const UNKNOWN: &str = "Left empty: I don't know";

const TAP: &[Typed] = &[
    Typed {
        field: "pressure",
        asks: "Its pressure",
        usual: ["", ""],
        empty: UNKNOWN,
        like: ["3.5 bar", "50 psi"],
    },
    Typed {
        field: "minerals",
        asks: "Its conductivity, or what is dissolved in it",
        usual: ["", ""],
        empty: UNKNOWN,
        like: ["450 uS/cm", "250 ppm"],
    },
    Typed {
        field: "coldest",
        asks: "Its coldest in the year",
        usual: ["", ""],
        empty: UNKNOWN,
        like: ["8 C", "46 F"],
    },
    Typed {
        field: "warmest",
        asks: "Its warmest in the year",
        usual: ["", ""],
        empty: UNKNOWN,
        like: ["20 C", "68 F"],
    },
];

const SPACE: &[Typed] = &[
    Typed {
        field: "width",
        asks: "Free floor along the wall",
        usual: ["2 m", "6 ft"],
        empty: "",
        like: ["2 m", "6 ft"],
    },
    Typed {
        field: "depth",
        asks: "Free floor from the wall",
        usual: ["1 m", "3 ft"],
        empty: "",
        like: ["1 m", "3 ft"],
    },
    Typed {
        field: "ceiling",
        asks: "Floor to ceiling",
        usual: ["2.4 m", "8 ft"],
        empty: "",
        like: ["2.4 m", "8 ft"],
    },
    Typed {
        field: "door",
        asks: "The narrowest door on the way in",
        usual: ["800 mm", "32 in"],
        empty: "",
        like: ["800 mm", "32 in"],
    },
];

const PRICES: &[Typed] = &[
    Typed {
        field: "water_price",
        asks: "What tap water costs, with its drain",
        usual: ["", ""],
        empty: UNKNOWN,
        like: ["4 EUR/m3", "0.05 USD/gal"],
    },
    Typed {
        field: "electricity_price",
        asks: "What electricity costs",
        usual: ["", ""],
        empty: UNKNOWN,
        like: ["0.30 EUR/kWh", "0.17 USD/kWh"],
    },
];

const CURRENCY: Typed = Typed {
    field: "currency",
    asks: "Currency, by its three letters",
    usual: ["EUR", "USD"],
    empty: "",
    like: ["EUR", "USD"],
};

const AWAY: Typed = Typed {
    field: "days_away",
    asks: "The longest that nobody is there",
    usual: ["7 days", "7 days"],
    empty: "",
    like: ["7 days", "7 days"],
};

const TANK: &[Typed] = &[
    Typed {
        field: "name",
        asks: "Name",
        usual: ["Reef", "Reef"],
        empty: "",
        like: ["Reef", "Reef"],
    },
    Typed {
        field: "volume",
        asks: "Its water, sump and all",
        usual: ["300 L", "75 gal"],
        empty: "",
        like: ["300 L", "75 gal"],
    },
    Typed {
        field: "salinity",
        asks: "Salinity it is kept at",
        usual: ["35", "35"],
        empty: "",
        like: ["35 or 53 mS/cm", "35 or 1.0269 sg 60F/60F"],
    },
    Typed {
        field: "temperature",
        asks: "Temperature it is kept at",
        usual: ["25 C", "77 F"],
        empty: "",
        like: ["25 C", "77 F"],
    },
    Typed {
        field: "change",
        asks: "Changed at a time",
        usual: ["10 %", "10 %"],
        empty: "",
        like: ["10 %", "10 %"],
    },
    Typed {
        field: "every",
        asks: "How often",
        usual: ["1 week", "1 week"],
        empty: "",
        like: ["1 week", "1 week"],
    },
    Typed {
        field: "evaporation",
        asks: "Topped off each day",
        usual: ["", ""],
        empty: UNKNOWN,
        like: ["3 L/day", "0.8 gal/day"],
    },
];

/// The page.
pub(super) async fn begin(State(bench): State<Arc<Bench>>) -> Html<String> {
    let (name, kept) = {
        let desk = bench.desk();
        (desk.file_name(), desk.is_kept())
    };
    let body = html! {
        main id="begin" {
            h1 { "Begin your own station" }
            p { "A few questions, each with an answer that stands there already. Units as you like them; a number \
                 alone is taken in the unit that its field shows." }
            @if kept {
                p class="second" { (name) " lies open and stays as it is: the new station becomes a file beside it." }
            }
            form id="questions" novalidate {
                div class="half" { (units()) (tanks()) (space()) }
                div class="half" { (tap()) (money()) (group("Time away", html! { (typed(&AWAY)) })) }
                div class="whole" {
                    p class="go" { button type="submit" id="plan" { "Plan it" } }
                    p class="must sum" role="alert" {}
                }
            }
            section id="result" hidden tabindex="-1" aria-labelledby="verdict" {
                // Shown by the style as long as the answers are others.
                p class="was" { "What stands here is of the answers before: press Plan it for these." }
                h2 id="verdict" {}
                div id="pictured" {}
                div class="halves" {
                    div id="chosen" {}
                    div {
                        div id="left" {}
                        form id="write" novalidate {
                            (row("name", "Name of the file", html! {
                                input type="text" id="name" name="name" value="station.toml" autocomplete="off" spellcheck="false"
                                    aria-describedby="name-fault";
                            }))
                            p class="second" {
                                @if kept { "It is written beside " (name) "; nothing is overwritten." }
                                @else { "It is written where the workbench was started; nothing is overwritten." }
                            }
                            p class="go" { button type="submit" { "Write it and open it" } }
                            p class="must sum" role="alert" {}
                        }
                    }
                }
            }
            p class="visually-hidden" id="told" aria-live="polite" {}
        }
    };
    framed(
        &bench,
        &Framed {
            place: Place::Begin,
            script: "/look/begin.js",
            skip: ["#questions", "To the questions"],
            tools: html! {},
            main: body,
        },
    )
}

fn group(title: &str, body: Markup) -> Markup {
    html! { fieldset { legend { (title) } (body) } }
}

fn row(field: &str, asks: &str, input: Markup) -> Markup {
    html! {
        div class="field" {
            label for=(field) { (asks) }
            (input)
            p class="must" id={ (field) "-fault" } role="alert" {}
        }
    }
}

/// A field to type in; both usual answers stand with it, for whoever changes the units.
fn typed(own: &Typed) -> Markup {
    typed_as(own, own.field)
}

fn typed_as(own: &Typed, id: &str) -> Markup {
    let mut described = format!("{id}-fault");
    if Field::named(own.field).is_some() {
        described = format!("{id}-unit {described}");
    }
    if !own.empty.is_empty() {
        described = format!("{id}-hint {described}");
    }
    html! {
        div class="field" {
            label for=(id) {
                (own.asks)
                @if !own.empty.is_empty() { span class="second" id={ (id) "-hint" } { (own.empty) } }
            }
            span class="typed" {
                input type="text" id=(id) name=(own.field) value=(own.usual[0]) data-si=(own.usual[0]) data-us=(own.usual[1])
                    placeholder={ "such as " (own.like[0]) } data-like-si={ "such as " (own.like[0]) } data-like-us={ "such as " (own.like[1]) }
                    autocomplete="off" spellcheck="false" aria-describedby=(described);
                @if let Some(field) = Field::named(own.field) {
                    @let [si, us] = CURRENCY.usual;
                    span class="unit" id={ (id) "-unit" } data-unit-si=[field.unit(Units::Si, si)] data-unit-us=[field.unit(Units::Us, us)] {}
                }
            }
            p class="must" id={ (id) "-fault" } role="alert" {}
        }
    }
}

fn chosen(field: &str, asks: &str, ways: &[(&str, &str)], usual: &str) -> Markup {
    row(
        field,
        asks,
        html! {
            select id=(field) name=(field) aria-describedby={ (field) "-fault" } {
                @for (value, words) in ways { option value=(value) selected[*value == usual] { (words) } }
            }
        },
    )
}

fn units() -> Markup {
    let ways = [
        ("SI", "Litres, millimetres, kilograms, °C"),
        ("US", "Gallons, inches, pounds, °F"),
    ];
    group("Units", html! { (chosen("units", "Shown in", &ways, "SI")) })
}

fn tanks() -> Markup {
    group(
        "Tanks",
        html! {
            div id="tanks" { (tank(0)) }
            template id="another" { (tank(99)) }
            p class="go" { button type="button" id="add" { "Another tank" } }
        },
    )
}

/// A tank by its place; scripts count anew when one is added or taken out.
fn tank(at: usize) -> Markup {
    html! {
        div class="tank" role="group" aria-label={ "Tank " (at + 1) } {
            @for own in TANK { (typed_as(own, &format!("tanks.{at}.{}", own.field))) }
            div class="field" {
                label for={ "tanks." (at) ".cover" } { "Its top is" }
                select id={ "tanks." (at) ".cover" } name="cover" {
                    option value="open" selected { "open" }
                    option value="covered" { "covered" }
                }
            }
            p class="go" { button type="button" class="out" { "Take this tank out" } }
        }
    }
}

fn tap() -> Markup {
    let ways = [("unknown", "I don't know"), ("yes", "yes"), ("no", "no")];
    group(
        "Tap water",
        html! {
            @for own in TAP { (typed(own)) }
            (chosen("chloramine", "Does the supplier use chloramine?", &ways, "unknown"))
        },
    )
}

fn space() -> Markup {
    let ways = [("no", "no"), ("yes", "yes")];
    group(
        "Space",
        html! {
            @for own in SPACE { (typed(own)) }
            (chosen("drain", "Is there a drain in the floor?", &ways, "no"))
        },
    )
}

fn money() -> Markup {
    let ways = [
        ("least", "as little as possible"),
        ("sensible", "what is sensible"),
        ("kept", "well kept: guards are worth it"),
    ];
    group(
        "Money",
        html! {
            (chosen("thrift", "What may be spent", &ways, "sensible"))
            (typed(&CURRENCY))
            @for own in PRICES { (typed(own)) }
        },
    )
}

#[cfg(test)]
mod tests {
    use station::quantity::{Currency, Kind, read_amount, read_salinity};

    use super::*;

    /// What is proposed can be typed: each example and each usual answer is read as what its question asks for.
    #[test]
    fn what_is_proposed_is_read() {
        let all = [TAP, SPACE, PRICES, TANK, &[AWAY]];
        let mut read = 0;
        for own in all.iter().flat_map(|own| own.iter()) {
            let proposed = own
                .usual
                .iter()
                .chain(&own.like)
                .flat_map(|own| own.split(" or "));
            for text in proposed.filter(|own| !own.is_empty()) {
                let is_read = match (own.field, Field::named(own.field).map(Field::kind)) {
                    ("salinity", _) => read_salinity(text, Some(25.0)).is_ok(),
                    ("minerals", _) => [Kind::Conductivity, Kind::Concentration]
                        .iter()
                        .any(|kind| read_amount(text, *kind, &Currency::default()).is_ok()),
                    (_, Some(kind)) => {
                        let currency = text.split([' ', '/']).find_map(Currency::new);
                        read_amount(text, kind, &currency.unwrap_or_default()).is_ok()
                    }
                    (_, None) => continue,
                };
                assert!(is_read, "{}: {text}", own.field);
                read += 1;
            }
        }
        assert!(read > 40, "only {read} were read");
    }
}
