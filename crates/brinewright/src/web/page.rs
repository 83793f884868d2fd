//! The pages: the frame that scripts fill.

use std::sync::Arc;

use axum::extract::State;
use axum::response::Html;
use maud::{DOCTYPE, Markup, html};

use super::bench::Bench;

/// The workbench: the drawing as the place of work, the verdict, figures and findings beside it.
pub(super) async fn workbench(State(bench): State<Arc<Bench>>) -> Html<String> {
    let (name, kept) = {
        let desk = bench.desk();
        (desk.file_name(), desk.is_kept())
    };
    let body = html! {
        div class="bench" {
            div class="site" {
                div id="drawing" class="drawing" { div id="paper" {} }
                p class="hint" id="hint" {
                    "Drag a mark, or walk to it with Tab and move it with the arrow keys."
                }
            }
            aside {
                h1 id="verdict" { "Looking at it" }
                p id="away" class="second" {}
                p id="refused" class="must" role="alert" {}
                dl class="leading" id="leading" {}
                div id="findings" {}
                details class="annex" {
                    summary { h2 { "All figures" } }
                    table { tbody id="rows" {} }
                }
            }
        }
        p class="visually-hidden" id="told" aria-live="polite" {}
    };
    Html(framed(&name, kept, &body).into_string())
}

fn framed(name: &str, kept: bool, body: &Markup) -> Markup {
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { "Brinewright: " (name) }
                link rel="icon" type="image/svg+xml" href="/favicon.ico";
                link rel="stylesheet" href="/look/style.css";
                script type="module" src="/look/bench.js" {}
            }
            body {
                a class="skip" href="#drawing" { "To the drawing" }
                header {
                    strong id="title" { "Brinewright" }
                    span id="file" { (name) }
                    span id="state" class="second" role="status" {}
                    div class="steps" {
                        button type="button" id="undo" disabled { "Take back" }
                        button type="button" id="redo" disabled { "Bring back" }
                    }
                }
                @if !kept {
                    p class="note" {
                        "This is the demo. It is invented, and nothing that you do here is kept. Yours: "
                        code { "brinewright new station.toml" } ", then " code { "brinewright" } "."
                    }
                }
                main { (body) }
                footer {
                    p { "Advice, not a permit: readings beat it, local codes and licensed trades govern." }
                }
            }
        }
    }
}
