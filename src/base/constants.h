/*
 * constants.h - numbers that several rooms use.
 */
#ifndef BASE_CONSTANTS_H
#define BASE_CONSTANTS_H

#define PI 3.14159265358979323846
/* What is not known; NAN is a float. */
#define UNKNOWN ((double)NAN)
#define DEG_PER_RAD (180.0 / PI)

/* The widest stretch without a usable frame that is bridged, mm; docs/
 * definitions.md, "Along the vessel". */
#define GAP_MM 5.0

/* Positions come from a division by the frame rate: what is meant to be on an
 * edge may miss it by rounding, mm. */
#define EDGE_MM 1e-9

#endif
