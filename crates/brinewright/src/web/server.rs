//! The server: loopback only, connections counted, time bounded, stopped cleanly.

use std::net::{Ipv4Addr, SocketAddr};
use std::sync::Arc;
use std::time::Duration;

use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use tokio::net::TcpListener;
use tokio::sync::Semaphore;

use super::bench::Bench;
use super::{Wanted, routes, work};
use crate::failure::{Failure, Fault};

/// The port that is tried first where nobody names one (house rule: one that no service of a standard has).
const USUAL_PORT: u16 = 7317;
/// Connections at a time: a handful of pages with their streams.
const CONNECTIONS: usize = 64;
/// How long a request's head may take.
const HEAD: Duration = Duration::from_secs(10);
/// How long open streams may take to end.
const ENDING: Duration = Duration::from_secs(2);

/// Binds, tells the address, serves until the program is interrupted.
pub(super) fn run(bench: Arc<Bench>, wanted: &Wanted, tell: impl FnOnce(&str)) -> Result<(), Failure> {
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .enable_all()
        .build()
        .map_err(|error| other("the server can't start", &error))?;
    runtime.block_on(async {
        let listener = bound(wanted.port).await?;
        let port = listener
            .local_addr()
            .map_err(|error| other("the server can't start", &error))?
            .port();
        bench.set_port(port);
        work::start(&bench);
        let address = format!("http://127.0.0.1:{port}/");
        tell(&address);
        if wanted.browser {
            // Where there is none, the address was printed.
            let _ = open::that_detached(&address);
        }
        accept(listener, &bench).await;
        bench.tell(|news| news.closing = true);
        Ok::<(), Failure>(())
    })?;
    runtime.shutdown_timeout(ENDING);
    Ok(())
}

async fn bound(port: Option<u16>) -> Result<TcpListener, Failure> {
    let at = |port| TcpListener::bind(SocketAddr::from((Ipv4Addr::LOCALHOST, port)));
    match port {
        Some(port) => at(port).await.map_err(|error| {
            Failure::other(Fault::new(
                "--port",
                format!("port {port} can't be taken: {error}"),
                "name another, or --port 0 for a free one",
            ))
        }),
        None => match at(USUAL_PORT).await {
            Ok(listener) => Ok(listener),
            Err(_) => at(0).await.map_err(|error| other("no port is free", &error)),
        },
    }
}

fn other(what: &str, error: &std::io::Error) -> Failure {
    Failure::other(Fault::new("server", format!("{what}: {error}"), "try it again"))
}

/// Serves until somebody interrupts.
async fn accept(listener: TcpListener, bench: &Arc<Bench>) {
    let routes = routes(bench);
    let places = Arc::new(Semaphore::new(CONNECTIONS));
    let mut interrupted = std::pin::pin!(interrupted());
    loop {
        let place = places.clone().acquire_owned();
        let next = async {
            // The semaphore is never closed.
            let place = place.await.ok();
            (place, listener.accept().await)
        };
        let (place, accepted) = tokio::select! {
            () = &mut interrupted => return,
            next = next => next,
        };
        let Ok((stream, _)) = accepted else { continue };
        // What is told in small pieces isn't kept back until the one before was acknowledged; where that can't be asked for, it
        // comes a little later.
        let _ = stream.set_nodelay(true);
        let service = TowerToHyperService::new(routes.clone());
        tokio::spawn(async move {
            let connection = http1::Builder::new()
                .timer(TokioTimer::new())
                .header_read_timeout(HEAD)
                .serve_connection(TokioIo::new(stream), service);
            // A browser that goes away in the midst of an answer is no failure.
            let _ = connection.await;
            drop(place);
        });
    }
}

/// Ends when the program is to end.
async fn interrupted() {
    #[cfg(unix)]
    {
        use tokio::signal::unix::{SignalKind, signal};
        if let Ok(mut ended) = signal(SignalKind::terminate()) {
            tokio::select! {
                _ = tokio::signal::ctrl_c() => {}
                _ = ended.recv() => {}
            }
            return;
        }
    }
    let _ = tokio::signal::ctrl_c().await;
}
