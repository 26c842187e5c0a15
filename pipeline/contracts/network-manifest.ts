import { z } from 'zod';

/** Networks that `models/` holds. */
export const networkNames = [
  'nanodet',
  'movenet-multipose',
  'movenet-thunder',
  'blazepose-full',
  'facemesh-detection-full',
  'facemesh',
  'iris',
] as const;
export type NetworkName = (typeof networkNames)[number];

const sha256Schema = z.string().regex(/^[0-9a-f]{64}$/);

/** A size that may change from call to call is written as the name of its axis. */
const portSchema = z.strictObject({
  name: z.string(),
  type: z.enum(['float32', 'int32']),
  shape: z.array(z.union([z.number().int().positive(), z.string()])),
});

const networkSchema = z.strictObject({
  /** File beside the manifest. */
  file: z.string(),
  bytes: z.number().int().positive(),
  sha256: sha256Schema,
  purpose: z.string(),
  source: z.strictObject({
    package: z.string(),
    version: z.string(),
    /** Paths inside the package: topology, then weights. */
    files: z.tuple([
      z.strictObject({ path: z.string(), sha256: sha256Schema }),
      z.strictObject({ path: z.string(), sha256: sha256Schema }),
    ]),
    /** Who trained and published the network. */
    origin: z.string(),
  }),
  licence: z.strictObject({
    spdx: z.enum(['Apache-2.0', 'MIT']),
    /** Where the licence was read. */
    readAt: z.string(),
  }),
  input: portSchema.extend({
    layout: z.enum(['NHWC', 'NCHW']),
    colourOrder: z.enum(['RGB', 'BGR']),
    /** What to do to 0..255 values. */
    normalisation: z.string(),
  }),
  outputs: z.array(portSchema.extend({ meaning: z.string() })),
  paper: z.string(),
});
export type Network = z.infer<typeof networkSchema>;

export const networkManifestSchema = z.strictObject({
  schema: z.literal('nightrail/networks@1'),
  networks: z.partialRecord(z.enum(networkNames), networkSchema),
});
export type NetworkManifest = z.infer<typeof networkManifestSchema>;
