/** Gas constant, J/(kg·K): that of air, for fresh and burnt gas alike. */
export const GAS = 287
/** Ratio of the specific heats: between cold air and hot burnt gas. */
export const GAMMA = 1.35
/** Pressure around the machine, Pa: the standard atmosphere. */
export const AMBIENT_PA = 101325
/** Density of fresh charge, kg/m³: air at 20 °C. */
export const FRESH_KG_M3 = 1.2

/** What goes through a port in one step. Each is positive in the direction that the port's owner says. */
export interface PortFlow {
  /** All gas, kg/s. */
  readonly massKgS: number
  /** The fresh charge in it, kg/s. */
  readonly freshKgS: number
  /** What it carries of heat: mass flow times temperature, K·kg/s. */
  readonly heatKKgS: number
}

/** Speed of sound, m/s. */
export function soundMps(temperatureK: number): number {
  return Math.sqrt(GAMMA * GAS * temperatureK)
}

/** Mass flow through a nozzle per root of pressure drop, kg/s/√Pa; `discharge` is the share of its area that the jet fills. */
export function nozzleK(discharge: number, areaM2: number, densityKgM3: number): number {
  return discharge * areaM2 * Math.sqrt(2 * densityKgM3)
}

/**
 * A flow held back so that one step cannot carry a volume past the balance of pressures, kg/s.
 *
 * @param dropPa what drives the flow
 * @param stepJPerKgS what one kg/s in one step does to the volume: its change of pressure times volume
 */
export function heldBack(flowKgS: number, dropPa: number, volumeM3: number, stepJPerKgS: number): number {
  return flowKgS / (1 + (stepJPerKgS * Math.abs(flowKgS)) / (volumeM3 * (Math.abs(dropPa) + 300)))
}
