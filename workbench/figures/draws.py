"""The 20,000 draws of a cost line: always the same ones for the same line, cheap to add up.

Three ideas make this quick enough to follow typing and steady enough to undo.

*Tables.* A line's cost is looked up, never computed draw by draw. Every PERT curve on 0..1 lies
between two of 129 curves tabled once at 1,024 equal shares of chance; a line's own table is their
blend, stretched to its range. The chance that the job is needed at all goes into the table as well:
the first ``1 - chance`` of it is 0. Entries are means over their share of the draws, not midpoints,
so the mean over all draws equals the closed form ``chance * mean`` to float32 rounding.

*Streams.* A line carries a 64-bit stream number for life. It picks one of 64 stored orders of the
ranks 0..draws-1, an order of their blocks and a starting place: over 1e9 slots. The same stream
gives the same draws bit for bit, so editing, sorting, adding or deleting another line never moves
this one, and two boats differ only by what is on them. Every slot holds every rank once, so each
line by itself is spread evenly over its range.

*Order.* Totals are added in float64 in the order of the stream numbers, whatever order the lines
arrive in; an undone edit gives back every bit.

Money is in one unit of currency; draws that belong together share a position in the vector.
"""

from collections.abc import Sequence
from dataclasses import field
from functools import lru_cache
from hashlib import blake2b

import numpy as np
import numpy.typing as npt

from workbench.domain.record import dataclass
from workbench.figures.threepoint import Flags, Floats, ThreePoint, stacked_ends
from workbench.figures.unit_shapes import (
    MODE_POSITIONS,
    partial_pert_means,
    partial_triangular_means,
)

Table = npt.NDArray[np.float32]
Ranks = npt.NDArray[np.uint16]
Draws = npt.NDArray[np.float32]

DRAWS = 20_000
"""Draws per line; one standard error of a mean is then 0.0071 standard deviations."""
QUANTILES = 1_024
"""Entries in a line's table."""
ORDERS = 64
"""Stored orders of the ranks."""
BLOCK = 200
"""Draws that stay together when a stream orders the blocks."""
BLOCK_ORDERS = 1_024
"""Stored orders of the blocks."""

_LINES_AT_ONCE = 32  # Tables of this many lines fit the processor's second-level store.


# --- Unit tables: what one shape comes to, share by share. ---


@dataclass(frozen=True, slots=True, eq=False)
class _UnitTables:
    """Tables of one shape on 0..1 for one number of draws.

    Attributes
    ----------
    edges : ndarray, shape (QUANTILES + 1,)
        Chance at which each entry begins, and 1.
    starts : ndarray of intp, shape (draws + 1,)
        The entry of each rank, and the last entry once more.
    partial : ndarray, shape (MODE_POSITIONS, QUANTILES + 1)
        Integral of the quantile up to each edge.
    certain : ndarray, shape (MODE_POSITIONS, QUANTILES)
        Mean over the draws that fall on each entry when the job is certain.
    """

    edges: Floats
    starts: npt.NDArray[np.intp]
    partial: Floats
    certain: Floats


@lru_cache(maxsize=8)
def _unit_tables(triangular: bool, draws: int) -> _UnitTables:
    """Build the unit tables of one shape; about 0.05 s, once."""
    integral = partial_triangular_means if triangular else partial_pert_means
    edges = entry_edges(draws)
    starts = np.minimum(np.arange(draws + 1) * QUANTILES // draws, QUANTILES - 1)
    partial = integral(edges)
    return _UnitTables(edges, starts, partial, np.diff(partial, axis=1) / np.diff(edges))


@lru_cache(maxsize=8)
def entry_edges(draws: int) -> Floats:
    """Chance at which each table entry begins, and 1; shape (QUANTILES + 1,).

    A draw of rank r looks up entry ``r * QUANTILES // draws``, so entries serve 19 or 20 of 20,000
    draws; the edges follow the draws so that drawn means are exact.
    """
    first_rank = -(-np.arange(QUANTILES + 1) * draws // QUANTILES)
    return np.asarray(first_rank / draws, dtype=np.float64)


# --- Tables of lines. ---


def line_tables(
    low: npt.ArrayLike,
    likely: npt.ArrayLike,
    high: npt.ArrayLike,
    *,
    chance: npt.ArrayLike = 1.0,
    triangular: npt.ArrayLike = False,
    draws: int = DRAWS,
) -> Table:
    """Tables of many lines.

    Parameters
    ----------
    low, likely, high : array_like, shape (lines,)
        Ends and mode [money]; see ``threepoint.stacked_ends``.
    chance : array_like
        Chance that the job is needed, fraction, one or per line.
    triangular : array_like of bool
        Triangle instead of PERT, one or per line.
    draws : int
        Number of draws the tables will serve.

    Returns
    -------
    ndarray of float32, shape (lines, QUANTILES)
        [money]; the mean over all draws is ``chance * mean``.

    Raises
    ------
    ValueError
        If a chance lies outside 0..1.
    """
    a, m, b, p, flags = np.broadcast_arrays(
        *(np.atleast_1d(np.asarray(column, dtype=np.float64)) for column in (low, likely, high)),
        np.asarray(chance, dtype=np.float64),
        np.asarray(triangular, dtype=np.bool_),
    )
    if not np.all((p >= 0.0) & (p <= 1.0)):
        raise ValueError("a chance must lie between 0 and 1")
    tables = np.empty((a.size, QUANTILES), dtype=np.float32)
    for triangle in (False, True):
        for certain in (False, True):
            chosen = np.flatnonzero((flags == triangle) & ((p == 1.0) == certain))
            chosen = chosen[np.argsort(p[chosen], kind="stable")]
            for start in range(0, chosen.size, _LINES_AT_ONCE):
                some = chosen[start : start + _LINES_AT_ONCE]
                unit = _unit_tables(triangle, draws)
                tables[some] = (
                    _certain_tables(unit, a[some], m[some], b[some])
                    if certain
                    else _chance_tables(unit, a[some], m[some], b[some], p[some])
                )
    return tables


def line_table(tp: ThreePoint, chance: float = 1.0, *, draws: int = DRAWS) -> Table:
    """Table of one line, float32 of shape (QUANTILES,); see ``line_tables``."""
    low, likely, high, triangular = stacked_ends([tp])
    tables = line_tables(low, likely, high, chance=chance, triangular=triangular, draws=draws)
    return tables.reshape(QUANTILES)


def _certain_tables(unit: _UnitTables, low: Floats, likely: Floats, high: Floats) -> Floats:
    """Tables of lines whose job is certain; float64 of shape (lines, QUANTILES)."""
    width = (high - low)[:, np.newaxis]
    return np.asarray(low[:, np.newaxis] + width * _blend(unit.certain, low, likely, high))


def _chance_tables(
    unit: _UnitTables, low: Floats, likely: Floats, high: Floats, chance: Floats
) -> Floats:
    """Tables of lines whose job may not be needed; float64 of shape (lines, QUANTILES).

    The draw at level u costs nothing while u < 1 - p, and above it the quantile at
    v = 1 - (1-u)/p. The entry between two edges is the exact mean over it, p/w times the change of
    (low v + width H(v)), with H the partial mean and w the entry's share of the draws. H is read
    straight between the edges, where a certain job's entries are exact; so it stays convex, and a
    greater chance lowers no entry, right up to certainty.
    """
    # Entries before the rarest cost of all these lines are 0 and left out of the work.
    first = max(int((1.0 - float(chance.max())) * QUANTILES) - 1, 0)
    p, edges = chance[:, np.newaxis], unit.edges[first:]
    needed = np.maximum(1.0 - (1.0 - edges) / np.maximum(p, 1e-300), 0.0)
    whole = unit.starts.take((needed * (unit.starts.size - 1)).astype(np.intp))
    begin = unit.edges.take(whole)
    at = (needed - begin) / (unit.edges.take(whole + 1) - begin)
    whole += (np.arange(low.size) * (QUANTILES + 1))[:, np.newaxis]
    partial = _blend(unit.partial, low, likely, high).ravel()
    reached = partial.take(whole)
    whole += 1
    reached += at * (partial.take(whole) - reached)
    reached *= (high - low)[:, np.newaxis]
    needed *= low[:, np.newaxis]
    reached += needed
    tables = np.zeros((low.size, QUANTILES))
    np.multiply(np.diff(reached, axis=1), p / np.diff(edges), out=tables[:, first:])
    return tables


def _blend(tables: Floats, low: Floats, likely: Floats, high: Floats) -> Floats:
    """Blend the two unit tables on either side of each line's mode; shape (lines, entries).

    Straight between neighbours: means are exact, since a unit mean is linear in the mode, and
    quantiles are within 2e-5 of the range.
    """
    width = high - low
    place = (likely - low) / np.where(width > 0.0, width, 1.0) * (MODE_POSITIONS - 1)
    left = np.minimum(place.astype(np.intp), MODE_POSITIONS - 2)
    share = (place - left)[:, np.newaxis]
    return np.asarray(tables[left] * (1.0 - share) + tables[left + 1] * share, dtype=np.float64)


# --- Streams: which draw takes which share. ---


def stream_for(boat_stream: int, line_key: str) -> int:
    """Stream number of a line, 0 to 2**64-1, from its boat's saved number and its own key."""
    text = boat_stream.to_bytes(8, "little") + line_key.encode()
    return int.from_bytes(blake2b(text, digest_size=8).digest(), "little")


@dataclass(frozen=True, slots=True, eq=False)
class Pool:
    """Stored orders from which streams take their draws.

    Attributes
    ----------
    draws : int
        Length of every vector of draws.
    ranks : ndarray of uint16, shape (ORDERS, 2 * draws)
        Each row an order of 0..draws-1, twice over, so that any starting place runs on.
    entries : ndarray of uint16, shape (ORDERS, 2 * draws)
        The table entry of each rank.
    block_orders : ndarray of intp, shape (BLOCK_ORDERS, draws // BLOCK)
        Orders of the blocks.
    """

    draws: int
    ranks: Ranks
    entries: Ranks
    block_orders: npt.NDArray[np.intp] = field(repr=False)


@lru_cache(maxsize=4)
def pool_for(seed: int, draws: int = DRAWS) -> Pool:
    """Build the pool of a project from its saved seed, about 0.03 s; then remembered.

    Only the raw words of PCG64 are used, whose stream NumPy keeps across versions (NEP 19).

    Raises
    ------
    ValueError
        If ``draws`` is not a multiple of ``BLOCK`` from ``QUANTILES`` to 65,400.
    """
    if draws % BLOCK or not QUANTILES <= draws <= 65_400:
        raise ValueError(f"draws must be a multiple of {BLOCK} from {QUANTILES} to 65,400: {draws}")
    words = np.random.PCG64(seed)
    ranks = np.stack([_shuffled(words, draws) for _ in range(ORDERS)])
    blocks = np.stack([_shuffled(words, draws // BLOCK) for _ in range(BLOCK_ORDERS)])
    doubled = np.concatenate([ranks, ranks], axis=1)
    entries = (doubled * QUANTILES // draws).astype(np.uint16)
    return Pool(draws, doubled.astype(np.uint16), entries, blocks)


def _shuffled(words: np.random.PCG64, count: int) -> npt.NDArray[np.intp]:
    """Order of 0..count-1, by sorting random words that carry their number in the low bits."""
    low_bits = np.uint64(0xFFFF)
    marked = (words.random_raw(count) & ~low_bits) | np.arange(count, dtype=np.uint64)
    marked.sort()
    return (marked & low_bits).astype(np.intp)


def slot(stream: int, pool: Pool) -> tuple[int, int, int]:
    """Order, block order and starting place of a stream; two lines must not share all three."""
    return stream % ORDERS, stream // ORDERS % BLOCK_ORDERS, (stream >> 16) % pool.draws


def _placed(rows: Ranks, stream: int, pool: Pool, out: Ranks | None = None) -> Ranks:
    """Read a stream's slot off the stored rows; uint16 of shape (draws // BLOCK, BLOCK)."""
    order, block_order, start = slot(stream, pool)
    run = rows[order, start : start + pool.draws].reshape(-1, BLOCK)
    placed = np.empty(run.shape, dtype=np.uint16) if out is None else out
    run.take(pool.block_orders[block_order], axis=0, out=placed, mode="clip")
    return placed


def indices(stream: int, pool: Pool) -> Ranks:
    """Table entry of each draw; uint16 of shape (draws,)."""
    return _placed(pool.entries, stream, pool).ravel()


def ranks(stream: int, pool: Pool) -> Ranks:
    """Rank of each draw from 0; uint16 of shape (draws,). A chance takes the highest ranks."""
    return _placed(pool.ranks, stream, pool).ravel()


def line_draws(table: Table, stream: int, pool: Pool) -> Draws:
    """Cost of one line in each draw; float32 of shape (draws,), [money]."""
    return table.take(indices(stream, pool), mode="clip")


def occurs(chance: float, stream: int, pool: Pool) -> Flags:
    """Draws in which the job is needed; bool of shape (draws,).

    The same draws as those in which ``line_draws`` of this stream costs something: the job is
    needed where the rank is among the last ``chance`` of all, exact to one draw. (The one table
    entry that straddles the chance holds its mean, so up to 20 draws there cost a part without
    counting as needed, or the reverse.)
    """
    return np.asarray(ranks(stream, pool) >= pool.draws - round(chance * pool.draws))


def total_draws(
    tables: Table, streams: Sequence[int], pool: Pool, out: Floats | None = None
) -> Floats:
    """Sum of many lines in each draw.

    Parameters
    ----------
    tables : ndarray of float32, shape (lines, QUANTILES)
        [money].
    streams : sequence of int, length lines
        Stream numbers; the lines are added in their order, so any order gives the same bits.
    pool : Pool
        The project's pool.
    out : ndarray of float64, shape (draws,), optional
        Overwritten with the result.

    Returns
    -------
    ndarray of float64, shape (draws,)
        [money].
    """
    total = np.zeros(pool.draws) if out is None else out
    total.fill(0.0)
    entries = np.empty((pool.draws // BLOCK, BLOCK), dtype=np.uint16)
    flat = entries.reshape(-1)
    costs = np.empty(pool.draws)
    for line in _adding_order(tables, streams):
        _placed(pool.entries, streams[line], pool, entries)
        # The float64 copy of a table holds the same numbers and spares a conversion per draw.
        tables[line].astype(np.float64).take(flat, out=costs, mode="clip")
        total += costs
    return total


def group_draws(
    tables: Table, streams: Sequence[int], groups: Sequence[int], count: int, pool: Pool
) -> Floats:
    """Sums of lines by group, for shared factors to act on; float64 of shape (count, draws).

    ``groups`` gives each line's group, 0 to count-1.
    """
    totals = np.zeros((count, pool.draws))
    of_line = np.asarray(groups, dtype=np.intp)
    for group in range(count):
        lines = np.flatnonzero(of_line == group)
        chosen = [streams[line] for line in lines.tolist()]
        total_draws(tables[lines], chosen, pool, out=totals[group])
    return totals


def _adding_order(tables: Table, streams: Sequence[int]) -> list[int]:
    """Order in which lines are added: by stream; copies that share one, by their largest cost."""
    largest = tables[:, -1].tolist()
    return sorted(range(len(streams)), key=lambda line: (streams[line], largest[line]))
