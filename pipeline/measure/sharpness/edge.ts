/** One edge of the picture and how far it is spread. Lengths in native px. */
export interface Edge {
  readonly x: number;
  readonly y: number;
  /** Sigma of the Gaussian fitted to the edge spread, the reduction of the plane taken off, and its standard uncertainty. */
  readonly sigmaPx: number;
  readonly sigmaErrorPx: number;
  /** See `EdgeFit.shape`. */
  readonly shape: number;
  readonly shapeError: number;
  /** Direction of the normal, degrees anticlockwise from the frame's horizontal, 0 <= deg < 180. */
  readonly normalDeg: number;
  /** Neither side at the floor or the ceiling of the scale. */
  readonly wellExposed: boolean;
}

/** The edges of a region as one plane shows them: the native picture or a reduced one. */
export interface PlaneEdges {
  /** Native px per sample. */
  readonly scale: number;
  /** Fitted at the first call. */
  edges(): readonly Edge[];
}
