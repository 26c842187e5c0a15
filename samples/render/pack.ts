/**
 * Turns the rendered frames into the delivery: JPEG with an embedded profile, EXIF as a camera writes it, truth files beside it.
 *
 *     npx tsx samples/render/pack.ts <work folder of render.py> [part of <garment>/<file>]
 *
 * Needs exiftool on the path (build time only). Frames that are not rendered yet are left as they are.
 */
import { execFileSync } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync, truncateSync, writeFileSync } from 'node:fs';
import { basename, dirname, extname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import sharp from 'sharp';
import { z } from 'zod';

const settingsSchema = z.looseObject({
  exposureS: z.number().optional(),
  fNumber: z.number().optional(),
  iso: z.number().optional(),
  lensMm: z.number().optional(),
  autoWhiteBalance: z.boolean().optional(),
  flash: z.boolean().optional(),
});
const frameSchema = settingsSchema.extend({
  file: z.string(),
  body: z.string(),
  /** Seconds after the garment's first frame, by a true clock. */
  afterS: z.number(),
  light: z.looseObject({ flash: z.unknown().optional() }).optional(),
  planted: z.array(z.string()).default([]),
  deliver: z
    .strictObject({
      widthPx: z.number().optional(),
      profile: z.enum(['srgb', 'p3']).optional(),
      /** Share of the file's bytes that is kept. */
      keptShare: z.number().optional(),
    })
    .optional(),
});
const planSchema = z.looseObject({
  utcOffset: z.string(),
  maxBytes: z.number(),
  defaults: settingsSchema,
  bodies: z.record(
    z.string(),
    z.strictObject({
      make: z.string(),
      model: z.string(),
      serial: z.string(),
      lens: z.string(),
      lensSerial: z.string(),
      /** How far this body's clock is ahead of the true time. */
      clockAheadS: z.number(),
      settings: settingsSchema,
    }),
  ),
  garments: z.array(
    z.looseObject({
      id: z.string(),
      startsAt: z.string(),
      settings: settingsSchema.optional(),
      light: z.looseObject({ flash: z.unknown().optional() }),
      frames: z.array(frameSchema),
    }),
  ),
});
type Plan = z.infer<typeof planSchema>;
type Garment = Plan['garments'][number];
type Frame = Garment['frames'][number];

const samples = join(dirname(fileURLToPath(import.meta.url)), '..');

/** Local date and time as EXIF writes it, and its sub-seconds. */
function exifTime(at: Date): { text: string; subSeconds: string } {
  const [day, clock] = at.toISOString().split('T') as [string, string];
  const [seconds, fraction] = clock.replace('Z', '').split('.') as [string, string];
  return { text: `${day.replaceAll('-', ':')} ${seconds}`, subSeconds: fraction.slice(0, 2) };
}

/** Tags for exiftool; values with # are written as stored, not as displayed. */
function exifTags(plan: Plan, garment: Garment, frame: Frame): readonly string[] {
  const body = plan.bodies[frame.body];
  if (body === undefined)
    throw new Error(`plan.json: frame ${frame.file} names an unknown body ${frame.body}`);
  const all = { ...plan.defaults, ...body.settings, ...garment.settings, ...frame };
  // The fraction of a second only has to differ from frame to frame; the file's number decides it.
  const fractionMs = ((Number(/\d+/.exec(frame.file)?.[0] ?? 0) * 37) % 100) * 10;
  const start = Date.parse(`${garment.startsAt}Z`);
  const { text, subSeconds } = exifTime(
    new Date(start + (frame.afterS + body.clockAheadS) * 1000 + fractionMs),
  );
  const hasFlash = { ...garment.light, ...frame.light }.flash !== undefined;
  return [
    `-Make=${body.make}`,
    `-Model=${body.model}`,
    `-SerialNumber=${body.serial}`,
    `-LensModel=${body.lens}`,
    `-LensSerialNumber=${body.lensSerial}`,
    `-FNumber=${all.fNumber}`,
    `-ExposureTime=${all.exposureS}`,
    `-ISO=${all.iso}`,
    `-SensitivityType#=2`,
    `-FocalLength=${all.lensMm}`,
    `-FocalLengthIn35mmFormat=${all.lensMm}`,
    `-ExposureProgram#=1`,
    `-ExposureMode#=1`,
    `-MeteringMode#=5`,
    // Flash: bit 0 fired, bits 3-4 mode (01 compulsory firing, 10 compulsory suppression): CIPA DC-008, 4.6.5.
    `-EXIF:Flash#=${hasFlash ? 0x09 : 0x10}`,
    `-WhiteBalance#=${all.autoWhiteBalance === true ? 0 : 1}`,
    `-ColorSpace#=${frame.deliver?.profile === 'p3' ? 0xffff : 1}`,
    `-DateTimeOriginal=${text}`,
    `-CreateDate=${text}`,
    `-ModifyDate=${text}`,
    `-SubSecTimeOriginal=${subSeconds}`,
    `-SubSecTimeDigitized=${subSeconds}`,
    `-OffsetTime=${plan.utcOffset}`,
    `-OffsetTimeOriginal=${plan.utcOffset}`,
    `-OffsetTimeDigitized=${plan.utcOffset}`,
    '-Orientation#=1',
  ];
}

/** JPEG at the best quality that keeps within maxBytes. */
async function encode(png: string, frame: Frame, maxBytes: number): Promise<Buffer> {
  for (let quality = 96; ; quality -= 3) {
    const picture = sharp(png).withIccProfile(frame.deliver?.profile ?? 'srgb');
    if (frame.deliver?.widthPx !== undefined) picture.resize({ width: frame.deliver.widthPx });
    const bytes = await picture.jpeg({ quality, mozjpeg: true }).toBuffer();
    if (bytes.length <= maxBytes || quality <= 60) return bytes;
  }
}

async function main(work: string, only: string): Promise<void> {
  const plan = planSchema.parse(JSON.parse(readFileSync(join(samples, 'render', 'plan.json'), 'utf8')));
  for (const garment of plan.garments) {
    for (const frame of garment.frames) {
      const stem = basename(frame.file, extname(frame.file));
      const rendered = join(work, `${garment.id}--${stem}`);
      if (!existsSync(`${rendered}.png`) || !`${garment.id}/${frame.file}`.includes(only)) continue;
      const target = join(samples, 'delivery', garment.id, frame.file);
      mkdirSync(dirname(target), { recursive: true });
      writeFileSync(target, await encode(`${rendered}.png`, frame, plan.maxBytes));
      execFileSync('exiftool', ['-q', '-overwrite_original', ...exifTags(plan, garment, frame), target]);
      const bytes = readFileSync(target).length;
      if (frame.deliver?.keptShare !== undefined)
        truncateSync(target, Math.round(bytes * frame.deliver.keptShare));
      const truth = join(samples, 'truth', garment.id, `${stem}.json`);
      mkdirSync(dirname(truth), { recursive: true });
      const known = z.looseObject({}).parse(JSON.parse(readFileSync(`${rendered}.truth.json`, 'utf8')));
      writeFileSync(truth, `${JSON.stringify({ ...known, planted: frame.planted })}\n`);
      console.log(`${garment.id}/${frame.file}  ${Math.round(bytes / 1024)} KiB`);
    }
  }
}

const work = process.argv[2];
if (work === undefined) {
  console.error('Name the work folder that render.py wrote: npx tsx samples/render/pack.ts <folder>');
  process.exitCode = 2;
} else {
  await main(work, process.argv[3] ?? '');
}
