/** Made from core/shortlever/roster/lifters-2.schema.json by site_src/make/shapes.mjs. */
export const isLifter: {
  (value: unknown): boolean;
  errors: { instancePath: string; keyword: string; params: { limit?: number; missingProperty?: string } }[] | null;
};
