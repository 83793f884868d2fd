//! The workbench's own page: what scripts fill.

use std::sync::Arc;

use axum::extract::State;
use axum::response::Html;
use maud::html;

use super::bench::Bench;
use super::frame::{Framed, Place, framed, steps};
use super::pages::take;

/// The workbench: the drawing as the place of work, the verdict, figures and findings beside it.
pub(super) async fn workbench(State(bench): State<Arc<Bench>>) -> Html<String> {
    let body = html! {
        div class="bench" {
            div class="answer" {
                h1 id="verdict" { "Looking at it" }
                p id="away" class="second" {}
                p id="year" class="second" {}
                p id="refused" class="must" role="alert" {}
                p id="remarked" class="second" role="status" {}
            }
            div class="left" {
                div class="site" {
                    div id="drawing" class="drawing" { div id="paper" {} p id="stopped" role="status" {} }
                    section class="conflict" id="conflict" hidden {}
                    p class="hint" id="hint" {
                        "Drag a mark, a floor, a rim or a side, or walk to it with Tab and move it with the arrow keys: it is kept with Enter, \
                         after a second or when you go on; Escape takes it back before."
                    }
                    (take("elevation", &["svg", "png"]))
                    section class="profile" id="heights" hidden {
                        div id="profile" tabindex="0" role="region" aria-label="Pipes by height" {}
                        p class="hint" { "Press a part to change it." }
                        (take("profile", &["svg", "png"]))
                    }
                    div id="vessels" {}
                }
                section class="pipes" id="pipework" {
                    h2 { "Valves, pumps and lines" }
                    div id="pipes" {}
                    p class="hint" { "Press a part to change it." }
                    (take("schematic", &["svg", "png"]))
                }
            }
            aside {
                div class="leading" id="leading" {}
                div id="findings" {}
                details class="annex" id="all-figures" {
                    summary { h2 { "All figures" } }
                    div id="figures" {}
                }
            }
        }
        p class="visually-hidden" id="told" aria-live="polite" {}
    };
    framed(
        &bench,
        &Framed {
            place: Place::Workbench,
            script: "/look/bench.js",
            skip: ["#drawing", "To the drawing"],
            tools: steps(false, false),
            main: html! { main { (body) } },
        },
    )
}
