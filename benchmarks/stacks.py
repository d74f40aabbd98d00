"""How fast many stacks are: A, B, D, transverse shear and mass of 100,000 stacks of eight layers.

Run ``python benchmarks/stacks.py`` with the project's own Python; it prints a table for
``benchmarks/README.md``. Three ways, interleaved in one run: the loop of a notebook (a sample of
the stacks, its figure carried over in proportion), the same 3 x 3 matrices for all stacks of a
chunk at once, and our formulas. The ways are held to one another on the sample.
Every constant is drawn at random; none is of a real material.
"""

from __future__ import annotations

import os
import platform
import resource
import statistics
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from panelwright.mechanics import lamina, laminate, transverse_shear

Array = npt.NDArray[np.float64]
STACKS, LAYERS, CHUNK, SAMPLE, TIMES = 100_000, 8, 8192, 200, 5
LOOP = "notebook loop"
POINTS = (1.0 + np.array([-np.sqrt(0.6), 0.0, np.sqrt(0.6)])) / 2.0
WEIGHTS = np.array([5.0, 8.0, 5.0]) / 18.0


class Layers(NamedTuple):
    """Constants of the layers in their own axes, from the outside in, ``(n, L)``."""

    E1: Array
    E2: Array
    G12: Array
    nu12: Array
    G13: Array
    G23: Array
    angle: Array
    thickness: Array
    mass: Array

    def rows(self, which: slice | int) -> Layers:
        return Layers(*(values[which] for values in self))


Found = tuple[Array, Array, Array, Array, Array]  # A, B, D, S and mass per area


def drawn() -> Layers:
    """Random stacks, from foam to carbon."""
    rng = np.random.default_rng(1)
    shape = (STACKS, LAYERS)
    across = 10.0 ** rng.uniform(7.5, 10.0, shape)
    return Layers(
        E1=across * rng.uniform(1.0, 15.0, shape),
        E2=across,
        G12=across * 0.4,
        nu12=rng.uniform(0.05, 0.45, shape),
        G13=across * 0.4,
        G23=across * 0.25,
        angle=rng.uniform(-np.pi / 2, np.pi / 2, shape),
        thickness=rng.uniform(1e-4, 2e-2, shape),
        mass=rng.uniform(0.1, 2.0, shape),
    )


def ours(s: Layers) -> Found:
    """A chunk of stacks through the formulas of the project."""
    turned = lamina.turned_stiffness(
        lamina.invariants(lamina.reduced_stiffness(s.E1, s.E2, s.G12, s.nu12)), s.angle
    )
    z = laminate.middle_heights(s.thickness)
    A = laminate.extension_stiffness(turned, s.thickness)
    B = laminate.coupling_stiffness(turned, s.thickness, z)
    D = laminate.bending_stiffness(turned, s.thickness, z)
    flow = transverse_shear.shear_flow(turned, s.thickness, z, A, B, D)
    shear = lamina.turned_shear(s.G13, s.G23, s.angle)
    flexibilities = transverse_shear.shear_flexibilities(flow, shear, s.thickness)
    S = transverse_shear.shear_stiffness(flexibilities)
    return lamina.matrix(A), lamina.matrix(B), lamina.matrix(D), S, laminate.areal_mass(s.mass)


def notebook(s: Layers) -> Found:
    """One stack as one writes it in a notebook: a loop over the layers, 3 x 3 matrices."""
    A, B, D = np.zeros((3, 3)), np.zeros((3, 3)), np.zeros((3, 3))
    z = -np.sum(s.thickness) / 2.0
    layers = []
    for i in reversed(range(LAYERS)):
        nu21 = s.nu12[i] * s.E2[i] / s.E1[i]
        free = 1.0 - s.nu12[i] * nu21
        Q = np.array(
            [
                [s.E1[i] / free, s.nu12[i] * s.E2[i] / free, 0.0],
                [s.nu12[i] * s.E2[i] / free, s.E2[i] / free, 0.0],
                [0.0, 0.0, s.G12[i]],
            ]
        )
        c, n = np.cos(s.angle[i]), np.sin(s.angle[i])
        T = np.array(
            [[c * c, n * n, c * n], [n * n, c * c, -c * n], [-2 * c * n, 2 * c * n, c * c - n * n]]
        )
        Qb = T.T @ Q @ T
        R = np.array([[c, -n], [n, c]])
        soft = np.linalg.inv(R @ np.diag([s.G13[i], s.G23[i]]) @ R.T)
        top = z + s.thickness[i]
        A += Qb * (top - z)
        B += Qb * (top**2 - z**2) / 2.0
        D += Qb * (top**3 - z**3) / 3.0
        layers.append((Qb, soft, z, s.thickness[i]))
        z = top
    flexibility = np.zeros((2, 2))
    pairs = [np.ix_((way, 2), (way, 2)) for way in (0, 1)]
    shifts = [np.linalg.solve(A[pair], B[pair]) for pair in pairs]
    bends = [
        np.linalg.inv(D[pair] - B[pair] @ m)[:, 0] for pair, m in zip(pairs, shifts, strict=True)
    ]
    below = [np.zeros(2), np.zeros(2)]
    for Qb, soft, z, t in layers:
        for point, weight in zip((*POINTS, 1.0), (*WEIGHTS, 0.0), strict=True):
            tau = np.zeros((2, 2))
            for way in (0, 1):
                part = point * t
                strain = part * ((z + part / 2.0) * bends[way] - shifts[way] @ bends[way])
                here = below[way] - Qb[pairs[way]] @ strain
                tau[way, way], tau[1 - way, way] = here
                if point == 1.0:
                    below[way] = here
            flexibility += weight * t * tau.T @ soft @ tau
    return (
        A,
        B,
        D,
        np.asarray(np.linalg.inv(flexibility), np.float64),
        np.sum(s.mass, keepdims=True),
    )


def matrices(s: Layers) -> Found:
    """The same for a chunk of stacks at once: matrices on the last axes, no loop over stacks."""
    n = s.thickness.shape[0]
    free = 1.0 - s.nu12**2 * s.E2 / s.E1
    Q = np.zeros((n, LAYERS, 3, 3))
    Q[..., 0, 0], Q[..., 1, 1], Q[..., 2, 2] = s.E1 / free, s.E2 / free, s.G12
    Q[..., 0, 1] = Q[..., 1, 0] = s.nu12 * s.E2 / free
    c, k = np.cos(s.angle), np.sin(s.angle)
    T = np.empty((n, LAYERS, 3, 3))
    T[..., 0, 0], T[..., 0, 1], T[..., 0, 2] = c * c, k * k, c * k
    T[..., 1, 0], T[..., 1, 1], T[..., 1, 2] = k * k, c * c, -c * k
    T[..., 2, 0], T[..., 2, 1], T[..., 2, 2] = -2 * c * k, 2 * c * k, c * c - k * k
    Qb = np.swapaxes(T, -1, -2) @ Q @ T
    t = s.thickness
    top = np.sum(t, axis=-1, keepdims=True) / 2.0 - np.cumsum(t, axis=-1) + t
    z = top - t
    A, B, D = (np.einsum("nlij,nl->nij", Qb, (top**p - z**p) / p) for p in (1, 2, 3))
    soft = np.empty((n, LAYERS, 2, 2))
    soft[..., 0, 0] = c * c / s.G13 + k * k / s.G23
    soft[..., 1, 1] = k * k / s.G13 + c * c / s.G23
    soft[..., 0, 1] = soft[..., 1, 0] = c * k * (1.0 / s.G13 - 1.0 / s.G23)
    tau = np.empty((n, LAYERS, 3, 2, 2))
    part = (POINTS * t[..., None])[..., None]
    for way in (0, 1):
        pair = np.ix_(range(n), (way, 2), (way, 2))
        shift = np.linalg.solve(A[pair], B[pair])
        bend = np.linalg.inv(D[pair] - B[pair] @ shift)[..., 0]
        lever = np.einsum("nij,nj->ni", shift, bend)
        q = Qb[np.ix_(range(n), range(LAYERS), (way, 2), (way, 2))]
        rise, level = np.einsum("nlij,nj->nli", q, bend), np.einsum("nlij,nj->nli", q, lever)
        through = t[..., None] * ((z + t / 2.0)[..., None] * rise - level)
        below = np.cumsum(through[:, ::-1], axis=1)[:, ::-1] - through
        centre = z[..., None, None] + part / 2.0
        here = below[:, :, None] + part * (centre * rise[:, :, None] - level[:, :, None])
        tau[..., way, way], tau[..., 1 - way, way] = -here[..., 0], -here[..., 1]
    each = np.swapaxes(tau, -1, -2) @ soft[:, :, None] @ tau
    flexibility = np.einsum("nlpab,p,nl->nab", each, WEIGHTS, t)
    return A, B, D, np.linalg.inv(flexibility), np.sum(s.mass, axis=-1)


def seconds(run: Callable[[], object]) -> float:
    start = time.perf_counter()
    run()
    return time.perf_counter() - start


def check(stacks: Layers) -> float:
    """Largest difference of the three ways on the sample, as a share of the largest entry."""
    sample = stacks.rows(slice(0, SAMPLE))
    found, other = ours(sample), matrices(sample)
    worst = 0.0
    for row in range(SAMPLE):
        for one, two, three in zip(found, other, notebook(sample.rows(row)), strict=True):
            largest = np.max(np.abs(three))
            worst = max(worst, np.max(np.abs(one[row] - three)) / largest)
            worst = max(worst, np.max(np.abs(two[row] - three)) / largest)
    return float(worst)


def main() -> None:
    """Print the table."""
    stacks = drawn()
    chunks = [stacks.rows(slice(start, start + CHUNK)) for start in range(0, STACKS, CHUNK)]
    sample = [stacks.rows(row) for row in range(SAMPLE)]
    cores = os.cpu_count() or 1
    with ThreadPoolExecutor(cores) as pool:
        ways: dict[str, Callable[[], object]] = {
            f"our formulas, {cores} threads": lambda: list(pool.map(ours, chunks)),
            "our formulas, one thread": lambda: [ours(chunk) for chunk in chunks],
            f"matrices in chunks, {cores} threads": lambda: list(pool.map(matrices, chunks)),
            "matrices in chunks, one thread": lambda: [matrices(chunk) for chunk in chunks],
            LOOP: lambda: [notebook(one) for one in sample],
        }
        ways[f"our formulas, {cores} threads"]()  # memory is read before the others have run
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        taken: dict[str, list[float]] = {name: [] for name in ways}
        for _ in range(TIMES):
            for name, run in ways.items():
                taken[name].append(seconds(run) * (STACKS / SAMPLE if name == LOOP else 1.0))
    middle = {name: statistics.median(times) for name, times in taken.items()}
    print(f"\n{datetime.now(UTC):%Y-%m-%d}, {platform.machine()}, {cores} cores, ", end="")
    print(
        f"Python {platform.python_version()}, numpy {np.__version__}; {STACKS} stacks of ", end=""
    )
    print(f"{LAYERS} layers, chunks of {CHUNK}, medians of {TIMES}\n")
    print("| way | seconds | stacks a second | over the loop |\n| --- | --- | --- | --- |")
    for name, time_taken in middle.items():
        rate, over = STACKS / time_taken, middle[LOOP] / time_taken
        print(f"| {name} | {time_taken:.3g} | {rate:,.0f} | {over:,.0f} |")
    print(
        f"\nPeak memory of the process with our formulas: {peak:.0f} MB, inputs and results kept."
    )
    print(f"The three ways differ by {check(stacks):.0e} of the largest entry at most.")


if __name__ == "__main__":
    main()
