import { describe, expect, it } from 'vitest'
import { every, makeRun } from '../../test/makeRun.js'
import { kindPictures, likenessLogits, linkKinds } from './kindPictures.js'
import { WINDOW_HOP, WINDOW_TURNS, type WindowEvidence } from './windows.js'

const TURNS = 144
const COUNT = (TURNS - WINDOW_TURNS) / WINDOW_HOP + 1

/** Windows that take `seen` for the kinds. */
function windowsOn(seen: (turn: number) => number): WindowEvidence[] {
  return Array.from({ length: COUNT }, (_, w) => ({
    firstTurn: w * WINDOW_HOP,
    turns: WINDOW_TURNS,
    component: Float64Array.from({ length: WINDOW_TURNS }, (_, i) => seen(w * WINDOW_HOP + i)),
    share: 1,
    folds: [0, 0, 0],
    lag1: 0,
    depthDb: new Float64Array(8),
    agreement: 1,
  }))
}

const kinds = every(2, TURNS)
const run = makeRun({ kinds, difference: 0.5, noise: 0.1 })
const truly = windowsOn((n) => kinds[n]! - 0.5)
const pictures = kindPictures(run.residuals, truly)

describe('kindPictures', () => {
  it('has one picture of unit length a window and envelope band, upside down where the kinds are swapped', () => {
    const turned = kindPictures(run.residuals, truly, (w) => truly[w]!.component.map((v) => -v))
    pictures.forEach((picture, w) => {
      expect(picture).toHaveLength(5)
      picture.forEach((band, b) => {
        expect(Math.hypot(...band)).toBeCloseTo(1, 6)
        band.forEach((v, p) => {
          expect(turned[w]![b]![p]).toBeCloseTo(-v, 9)
        })
      })
    })
  })
})

describe('linkKinds', () => {
  it('finds which windows are upside down', () => {
    const signs = Array.from({ length: COUNT }, (_, w) => (w % 3 === 1 ? -1 : 1))
    const links = linkKinds(
      kindPictures(run.residuals, truly, (w) => truly[w]!.component.map((v) => signs[w]! * v)),
      signs.map(() => 1),
    )
    expect(links.map((l) => l.sign)).toEqual(signs)
    for (const { trust } of links) expect(trust).toBe(1)
  })
  it('trusts no sign between pictures that have nothing in common', () => {
    const noise = makeRun({ kinds: new Array(TURNS).fill(0), difference: 0, noise: 1 })
    const links = linkKinds(
      kindPictures(noise.residuals, truly).filter((_, w) => w % 6 === 0),
      [1, 1, 1, 1, 1, 1],
    )
    for (const { trust } of links.slice(1)) expect(trust).toBeLessThan(0.7)
  })
  it('lets windows without weight neither follow nor lead', () => {
    const links = linkKinds(pictures, [0, ...new Array(COUNT - 1).fill(1)])
    expect(links[0]).toEqual({ sign: 1, trust: 0 })
    expect(links[1]).toEqual({ sign: 1, trust: 1 })
  })
})

describe('likenessLogits', () => {
  const at = Math.floor(COUNT / 2)
  const sure = new Array(COUNT).fill(5)
  const doubtful = sure.map((v, w) => (w === at ? 0 : v))

  it('speaks for two kinds where a doubtful window looks like the sure ones', () => {
    expect(likenessLogits(pictures, doubtful)[at]!).toBeGreaterThan(2)
  })
  it('speaks against them where it does not', () => {
    const noise = makeRun({ kinds: new Array(TURNS).fill(0), difference: 0, noise: 1, seed: 4 })
    const other = kindPictures(noise.residuals, truly)[at]!
    const mixed = pictures.map((p, w) => (w === at ? other : p))
    expect(likenessLogits(mixed, doubtful)[at]!).toBeLessThan(0)
  })
  it('says nothing in a run without sure windows, and for no windows', () => {
    for (const v of likenessLogits(pictures, new Array(COUNT).fill(1))) expect(Math.abs(v)).toBe(0)
    expect(likenessLogits([], [])).toEqual([])
  })
  it('never takes a window for its own witness', () => {
    const alone = new Array(COUNT).fill(0).map((_, w) => (w === at ? 5 : 0))
    const logits = likenessLogits(pictures, alone)
    for (let w = at - 5; w <= at + 5; w++) expect(Math.abs(logits[w]!)).toBe(0)
    expect(logits[at + 6]!).toBeGreaterThan(0)
  })
})
