/** A place in WGS 84 decimal degrees. */
export interface Place {
  readonly latitude: number;
  readonly longitude: number;
}

/** Mean radius of the earth in metres (IUGG, R1 = (2a + b) / 3 of GRS 80). */
const EARTH_METRES = 6_371_008.8;

/** Great-circle distance in metres by the haversine formula; on a sphere, so within 0.6 % of the distance on the ellipsoid. */
export function metresBetween(a: Place, b: Place): number {
  const radians = (degrees: number) => (degrees * Math.PI) / 180;
  const latitudes = Math.sin(radians(b.latitude - a.latitude) / 2) ** 2;
  const longitudes = Math.sin(radians(b.longitude - a.longitude) / 2) ** 2;
  const h = latitudes + Math.cos(radians(a.latitude)) * Math.cos(radians(b.latitude)) * longitudes;
  return 2 * EARTH_METRES * Math.asin(Math.min(1, Math.sqrt(h)));
}
