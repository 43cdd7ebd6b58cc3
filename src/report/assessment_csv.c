/*
 * assessment_csv.c - the narrowings as a table, a row each.
 */
#include "base/place.h"
#include "report/source.h"

#define DECIMALS 4

static void flow_cells(text *out, const bl_assessment *of, bl_span span) {
    bl_flow flow = bl_assessment_flow(of, span);
    text_add(out, ",");
    text_fixed(out, flow.index, DECIMALS);
    text_add(out, ",");
    text_fixed(out, flow.area_index, DECIMALS);
}

static void cells(text *out, const bl_narrowing *one, const bl_assessment *of) {
    const double values[] = {
        one->span.from_mm,
        one->span.to_mm,
        one->span.to_mm - one->span.from_mm,
        one->shoulders.from_mm,
        one->shoulders.to_mm,
        one->worst.position_mm,
        one->min_area_mm2,
        one->worst.reference_area_mm2,
        one->worst.area_stenosis_pct,
        one->worst.diameter_stenosis_pct,
        one->worst.min_diameter_mm,
        one->worst.max_diameter_mm,
        one->worst.min_diameter_stenosis_pct,
        one->flattening_share,
    };
    for (size_t i = 0; i < sizeof values / sizeof values[0]; i++) {
        text_fixed(out, values[i], DECIMALS);
        text_add(out, ",");
    }
    text_add(out, bl_pattern_name(one->pattern));
    text_add(out, ",");
    text_add(out, bl_vein_name(one->worst.vein));
    text_format(out, ",%d,%d,%d,%d,%zu,", one->open_from, one->open_to,
                one->span_open_from, one->span_open_to, one->left_out);
    text_fixed(out, of->options.threshold_pct, 2);
    text_add(out, ",");
    text_add(out, of->segment_count > 0 ? bl_rule_name(of->options.rule) : "");
    text_add(out, ",");
    text_add(out, bl_reference_from_name(of->reference_from));
    text_add(out, ",");
    text_fixed(out, one->worst.normal_area_mm2, DECIMALS);
    text_add(out, ",");
    text_fixed(out, one->worst.share_of_normal_pct, DECIMALS);
    const bl_interval intervals[] = {
        one->length_interval_mm,
        one->shoulders_interval_mm,
        one->min_area_interval_mm2,
        one->area_stenosis_interval_pct,
    };
    for (size_t i = 0; i < sizeof intervals / sizeof intervals[0]; i++) {
        text_add(out, ",");
        text_fixed(out, intervals[i].low, DECIMALS);
        text_add(out, ",");
        text_fixed(out, intervals[i].high, DECIMALS);
    }
    text_add(out, ",");
    text_fixed(out, one->area_stenosis_corrected_pct, DECIMALS);
    if (of->options.flow) {
        flow_cells(out, of, one->span);
    }
    text_add(out, ",\"");
    place_doubt_words(out, &one->worst);
    text_add(out, "\",\"");
    text_add(out, bl_caution());
    text_add(out, "\"\n");
}

bl_status bl_report_assessment_csv(const bl_study *study,
                                   const bl_assessment *of, bl_sink sink,
                                   void *context) {
    (void)study;
    text out = {0};
    text_add(&out, "from_mm,to_mm,length_mm,shoulder_from_mm,shoulder_to_mm,"
                   "worst_position_mm,min_area_mm2,reference_area_mm2,"
                   "area_stenosis_pct,diameter_stenosis_pct,min_diameter_mm,"
                   "max_diameter_mm,min_diameter_stenosis_pct,flattening_share,"
                   "pattern,vein,open_from,open_to,span_open_from,span_open_to,"
                   "left_out,threshold_pct,reference_rule,reference,"
                   "normal_area_mm2,share_of_normal_pct,"
                   "length_low_mm,length_high_mm,shoulders_low_mm,"
                   "shoulders_high_mm,min_area_low_mm2,min_area_high_mm2,"
                   "area_stenosis_low_pct,area_stenosis_high_pct,"
                   "area_stenosis_corrected_pct,");
    text_add(&out, of->options.flow ? "flow_index,flow_area_index," : "");
    text_add(&out, "doubt,caution\n");
    for (size_t i = 0; i < of->narrowing_count; i++) {
        cells(&out, &of->narrowings[i], of);
    }
    bl_status status = text_flush(&out, sink, context);
    text_free(&out);
    return status;
}
