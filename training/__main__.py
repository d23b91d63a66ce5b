"""Runs the training step by step: ``python -m training --help``."""

import time
from pathlib import Path
from random import Random
from typing import Annotated

import typer

app = typer.Typer(add_completion=False, help="Make the weights of the ear.")
Data = Annotated[Path, typer.Option(help="Where sources, speech and ears lie.")]
DATA = Path(".ear")


@app.command()
def fetch(data: Data = DATA) -> None:
    """Fetch the speech network and its voices, and check them."""
    from training.sources import fetch as fetch_all

    fetch_all(data)


@app.command()
def texts(
    count: int,
    data: Data = DATA,
    seed: int = 1,
    talk: Annotated[list[Path] | None, typer.Option(help="Files of talk.")] = None,
    talk_share: float = 0.05,
    contrasts: Annotated[float, typer.Option(help="Share of phrases easily mixed up.")] = 0.0,
    long: Annotated[float, typer.Option(help="Share of phrases of 7 to 12 seconds.")] = 0.0,
    out: str = "texts.json",
    *,
    held_back: Annotated[bool, typer.Option(help="Deal the talk held back from training.")] = False,
) -> None:
    """Draw phrases and work out their phonemes."""
    from training.phonemes import phonemes, write
    from training.speech import signs
    from training.texts import Shares, mixer

    shares = Shares(talk_share, contrasts, long)
    rng, mix = Random(seed), mixer(talk or (), shares, held_back=held_back)
    drawn = [mix.draw(rng) for _ in range(count)]
    write(data / out, list(phonemes(drawn, signs(data / "signs.json"), rng)))


@app.command()
def speak(
    data: Data = DATA,
    seconds: float = 1e9,
    processes: int = 1,
    device: str = "cpu",
    texts: str = "texts.json",
    voice: Annotated[list[str] | None, typer.Option(help="This voice, no others.")] = None,
    but: Annotated[list[str] | None, typer.Option(help="A voice to leave out.")] = None,
    shard: int = 100,
    *,
    formants: Annotated[bool, typer.Option(help="espeak-ng speaks, not the network.")] = False,
    tubes: Annotated[bool, typer.Option(help="gnuspeech speaks, not the network.")] = False,
    hmm: Annotated[bool, typer.Option(help="RHVoice speaks, not the network.")] = False,
) -> None:
    """Speak the phrases, shard by shard; shards that are there already are passed over."""
    from training.speaking import Order, speak_all

    until, voices, others = time.time() + seconds, tuple(voice or ()), tuple(but or ())
    order = Order(
        data, data / texts, until, processes, device, voices, others, shard, formants, tubes, hmm
    )
    speak_all(order)


@app.command()
def train(
    out: Path,
    seconds: float,
    data: Data = DATA,
    start: Path | None = None,
    device: str = "cpu",
    steps: int = 10**9,
    batch_s: float = 700.0,
    rate: float = 4e-4,
    rivals_from: float = 0.6,
    warm_up: int = 300,
    hold: float = 20.0,
    machines: float = 0.25,
    margin: Annotated[float, typer.Option(help="Nats that rivals are given ahead.")] = 0.0,
    seed: int = 1,
    pieces: int = 1,
    *,
    frozen: Annotated[bool, typer.Option(help="Leave the encoder as it is.")] = False,
) -> None:
    """Teach an ear by the clock, and keep it in half precision."""
    from training.batches import Clips
    from training.clips import shards
    from training.export import write
    from training.moonshine import encoder_weights, installed
    from training.run import Plan, begin

    kept = data / "encoder_model.ort"
    untouched = encoder_weights(kept if kept.exists() else installed())
    clips = Clips.gather(shards(data / "speech"), device)
    print(f"{len(clips.texts)} clips, {clips.hours:.2f} hours", flush=True)
    plan = Plan(
        seconds,
        steps,
        batch_s,
        rate,
        hold,
        rivals_from=rivals_from,
        margin=margin,
        machines=machines,
        warm_up=warm_up,
        frozen=frozen,
        seed=seed,
    )
    run = begin(clips, untouched, plan, device, start)
    run.go()
    print(*write(run.ear, out, pieces=pieces), f"after {run.step} steps", flush=True)


@app.command()
def mean(out: Path, ears: list[Path]) -> None:
    """Keep the mean of several ears."""
    from training.export import mean as mean_of

    mean_of(ears, out)


@app.command()
def join(out: Path, pieces: list[Path]) -> None:
    """Put together an ear that was kept in pieces."""
    from training.export import joined

    joined(pieces, out)


@app.command()
def report(weights: Path, speech: Path, most: int = 200) -> None:
    """Print how well an ear hears a folder of speech in quiet and in noise."""
    from training.report import HEADER
    from training.report import report as rows

    print(HEADER, sep="\n")
    for row in rows(weights, speech, most):
        print(row, flush=True)


@app.command()
def confusions(weights: Path, speech: Path, out: Path, most: int = 400) -> None:
    """Measure which letters an ear takes for which, on a folder of speech that it never met."""
    from training.confusions import confusions as measured

    print(measured(weights, speech, out, most), "clips")


if __name__ == "__main__":
    app()
