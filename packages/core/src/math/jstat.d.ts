declare module 'jstat' {
  const jstat: {
    /** Student's t distribution. */
    studentt: { cdf(x: number, freedom: number): number; inv(p: number, freedom: number): number }
  }
  export default jstat
}
