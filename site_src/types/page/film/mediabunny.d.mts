export * from "mediabunny";
