/*
 * reader_messages_test.c - every way of writing a table that is accepted, and
 * every error of one that is not: status, line, column and exact words.
 */
#include "base/limits.h"
#include "support/check.h"
#include "support/table.h"

#include <stdio.h>
#include <string.h>

#define HEAD "frame,x_mm,y_mm\n"
#define STEP "# step_mm = 1\n"
#define NOTHING                                                                \
    "; leave out the row of what was not traced, in a wide table leave the "   \
    "cell empty"
#define NUMBER "expected a number with a decimal point"
#define FRAME "expected a whole number from 0 to 999999999"
#define COMMA "; is its comma the decimal mark? Then separate by semicolons"

typedef struct refusal {
    const char *text;
    uint64_t line;
    uint64_t column;
    const char *expected;
} refusal;

static void check_all(const refusal *cases, size_t count) {
    for (size_t i = 0; i < count; i++) {
        table_refused(cases[i].text, BL_ERR_INPUT, cases[i].line,
                      cases[i].column, cases[i].expected);
    }
}

#define UNITS_WORDS                                                            \
    ", is no point; take it out: units stand in the names of columns, as in "  \
    "x_mm"
#define UNITS_ROW "a row of units, the first 'mm'" UNITS_WORDS

static void test_rows(void **state) {
    (void)state;
    static const refusal cases[] = {
        {HEAD "0,1,abc\n", 2, 5, "y is 'abc'; " NUMBER},
        {HEAD "0,,1\n", 2, 3, "x is nothing; " NUMBER},
        {HEAD "Total,1,1\n", 2, 1,
         "frame is 'Total'; " FRAME "; take out rows that hold no point, such "
         "as the totals of a spreadsheet"},
        {HEAD ",1,1\n", 2, 1,
         "frame is nothing; " FRAME "; give it in every row"},
        {HEAD ",mm,mm\n", 2, 2, UNITS_ROW},
        {HEAD "-,(mm),[mm]\n", 2, 3,
         "a row of units, the first '(mm)'" UNITS_WORDS},
        {HEAD "-,-,-\n", 2, 1,
         "frame is '-'; " FRAME "; take out rows that hold no point, such as "
         "the totals of a spreadsheet"},
        {HEAD ",mm,1\n", 2, 1,
         "frame is nothing; " FRAME "; give it in every row"},
        {HEAD "0,\u22121,1\n", 2, 3,
         "x is '\u22121'; " NUMBER "; its minus is typographic, U+2212: write "
         "'-'"},
        {HEAD "1\u00a0000,1,1\n", 2, 1,
         "frame is '1\u00a0000'; " FRAME "; it holds a no-break space, U+00A0: "
         "take it out"},
        {HEAD "0,\"1,5\",1\n", 2, 3, "x is '1,5'; " NUMBER COMMA},
        {HEAD "0,nan,1\n", 2, 3, "x is 'nan'; " NUMBER NOTHING},
        {HEAD "0,1,-inf\n", 2, 5, "y is '-inf'; " NUMBER},
        {HEAD "0,1e999,1\n", 2, 3, "x is '1e999'; " NUMBER},
        {HEAD "0,0x10,1\n", 2, 3, "x is '0x10'; " NUMBER},
        {HEAD "0,\"1\"2,1\n", 2, 3, "x is '1\"2'; " NUMBER},
        {HEAD "0,1 2,1\n", 2, 3, "x is '1 2'; " NUMBER},
        {"frame;x;y\n0;1;a\n", 2, 5, "y is 'a'; expected a number"},
        {"frame;x;y\n,,\n", 2, 1,
         "frame is ',,'; " FRAME "; take out rows that hold no point, such as "
         "the totals of a spreadsheet"},
        {"frame;x;y\n0;1.2,3;1\n", 2, 3, "x is '1.2,3'; expected a number"},
        {"frame,angle_deg,radius_mm\n0,a,1\n", 2, 3,
         "the angle is 'a'; " NUMBER},
        {"frame,angle_deg,radius_mm\n0,1,b\n", 2, 5,
         "the radius is 'b'; " NUMBER},
        {HEAD "0,1\n", 2, 4, "the row has 2 cells; the header has 3 columns"},
        {HEAD "7\n", 2, 2, "the row has 1 cell; the header has 3 columns"},
        {"n,frame,x_mm,y_mm\n\xc3\xa4,0\n", 2, 4,
         "the row has 2 cells; the header has 4 columns"},
        {HEAD "0,1,1,9\n", 2, 7,
         "the row has more cells than the header has columns (3); is the "
         "decimal mark a comma? Then separate by semicolons"},
        {"frame;x;y\n0;1;1;9\n", 2, 7,
         "the row has more cells than the header has columns (3)"},
        {"x_mm,y_mm,frame\n1,1,1.5\n", 2, 5,
         "frame is '1.5'; expected a whole number from 0 to 999999999"},
        {HEAD "-1,1,1\n", 2, 1,
         "frame is '-1'; expected a whole number from 0 to 999999999"},
        {HEAD "1000000000,1,1\n", 2, 1,
         "frame is '1000000000'; expected a whole number from 0 to 999999999"},
        {"frame,kind,x_mm,y_mm\n0,stent,0,0\n", 2, 3,
         "kind is 'stent'; expected lumen, device or vessel"},
        {HEAD "0,1,1\n# side = left\n", 3, 3,
         "the note 'side' comes after the table has begun; move it to the "
         "top"},
        {"frame,x_mm,y_mm,position_mm\n0,0,0,1\n0,4,0,2\n", 3, 1,
         "position_mm changes within frame 0, which began on line 2; a frame "
         "has one position"},
        {"frame,x_mm,y_mm,time_s\n0,0,0,1\n0,4,0,2\n", 3, 1,
         "time_s changes within frame 0, which began on line 2; a frame has "
         "one time"},
        {"frame,x_mm,y_mm,time_s\n0,0,0,1\n0,4,0,\n", 3, 1,
         "time_s is empty here and given on line 2, where frame 0 began; give "
         "it in every row of the frame"},
        {"frame,x_mm,y_mm,position_mm\n0,0,0,\n0,4,0,7\n", 3, 1,
         "position_mm is given here and empty on line 2, where frame 0 began; "
         "give it in every row of the frame"},
        {STEP HEAD "0,0,0\n1,0,0\n0,4,0\n", 5, 1,
         "frame 0 (lumen) comes back; its points began on line 3 and must "
         "stand together: sort the rows by frame, or take out the row if it "
         "holds no point"},
        {"frame,kind,x_mm,y_mm,time_s\n0,lumen,0,0,1\n0,device,0,0,2\n", 3, 1,
         "frame 0 has another time or position here than on line 2; a frame "
         "has one"},
    };
    check_all(cases, sizeof cases / sizeof cases[0]);
}

#define NO_FRAME                                                               \
    "; expected a header row such as 'frame,x_mm,y_mm', or blocks that start " \
    "with 'frame N'"
#define NO_PAIR                                                                \
    "no pair of coordinates among the columns; expected x_mm,y_mm or "         \
    "x_px,y_px or x,y or angle_deg with radius_mm or radius_px, or in a wide " \
    "table x1,y1,x2,y2,... or r0,r1,..."

static void test_headers(void **state) {
    (void)state;
    static const refusal cases[] = {
        {"nr,x_mm,y_mm\n", 1, 1,
         "no column is called frame in 'nr,x_mm,y_mm'" NO_FRAME},
        {"Frame no;x;y\n", 1, 1,
         "no column is called frame in 'Frame no;x;y'" NO_FRAME
         "; rename 'Frame no' to frame"},
        {"fram,x1,y1\n", 1, 1,
         "no column is called frame in 'fram,x1,y1'" NO_FRAME
         "; rename 'fram' to frame"},
        {"sep=,\nframe;x;y\n", 2, 1,
         "the header row 'frame;x;y' is not separated by ',', which 'sep=' "
         "says; correct that line"},
        {"frame,X (mm),y (mm)\n", 1, 1,
         NO_PAIR "; rename 'X (mm)' to x_mm, 'y (mm)' to y_mm"},
        {"frame,angle,radius\n", 1, 1,
         NO_PAIR
         "; rename 'angle' to angle_deg, 'radius' to radius_mm or radius_px"},
        {"frame,x1_mm,y1_mm,x2_mm,y2_mm\n", 1, 1,
         NO_PAIR "; in a wide table 'x1_mm' is called x1, in mm, or in pixels "
                 "where a scale is given: rename all like it"},
        {"frame,x_1,y_1,x_2,y_2\n", 1, 1,
         NO_PAIR "; in a wide table 'x_1' is called x1: rename all like it"},
        {"frame,X_cm_1,Y_cm_1\n", 1, 1,
         NO_PAIR "; in a wide table 'X_cm_1' is called x1, in mm: convert and "
                 "rename all like it"},
        {"frame,x2,y2\n", 1, 1, NO_PAIR},
        {"frame,x\u00a0mm,y_mm\n", 1, 1,
         NO_PAIR "; rename 'x\u00a0mm' to x_mm; it holds a no-break space, "
                 "U+00A0: take it out"},
        {"frame,x_mm,y_px\n", 1, 1, NO_PAIR},
        {"frame,x (cm),y (cm)\n", 1, 1,
         NO_PAIR
         "; convert 'x (cm)' to x_mm (multiply by 10), 'y (cm)' to y_mm "
         "(multiply by 10)"},
        {"Case 17\nframe,x_mm,y_mm\n", 1, 1,
         "no column is called frame in 'Case 17'" NO_FRAME
         "; if this is a title, put '# ' before it"},
        {"step_mm = 1\nframe,x_mm,y_mm\n", 1, 1,
         "no column is called frame in 'step_mm = 1'" NO_FRAME
         "; if this is a note, put '# ' before it"},
        {"frame,x,y,x_mm,y_mm\n", 1, 1,
         "both x_mm,y_mm and x,y are there; drop the pair that is not meant"},
        {"frame,x_mm,y_mm,X_MM\n", 1, 17,
         "two columns are called x_mm; drop or rename one"},
        {"frame,x_mm;y_mm\n", 1, 1,
         "the header row has more than one kind of separator, so it is unclear "
         "which separates; add a first line such as 'sep=;'"},
        {"frame;\"a,b\";x;y\n", 1, 1,
         "the header row has more than one kind of separator, so it is unclear "
         "which separates; add a first line such as 'sep=;'"},
        {"0,0,0\n", 1, 1,
         "found '0,0,0' where the table begins; expected a header row such as "
         "'frame,x_mm,y_mm', or 'frame N'"},
        {"frame,x_px,y_px\n", 1, 1,
         "coordinates are in pixels and there is no scale; add --mm-per-px MM "
         "or a note '# mm_per_px = MM'"},
        {"# mm_per_px_x = 1\nframe,x,y\n", 2, 1,
         "coordinates are in pixels and there is no scale for y; add "
         "--mm-per-px-y MM or a note '# mm_per_px_y = MM'"},
        {"# mm_per_px_y = 1\nframe,x,y\n", 2, 1,
         "coordinates are in pixels and there is no scale for x; add "
         "--mm-per-px-x MM or a note '# mm_per_px_x = MM'"},
        {"sep=5\n", 1, 5,
         "sep= is followed by '5'; expected a comma, a semicolon, a tab, a "
         "blank or a bar"},
        {"sep=\n", 1, 5,
         "sep= is followed by nothing; expected a comma, a semicolon, a tab, a "
         "blank or a bar"},
        {"\"sep=;;\"\n", 1, 6,
         "sep= is followed by ';;'; expected a comma, a semicolon, a tab, a "
         "blank or a bar"},
    };
    check_all(cases, sizeof cases / sizeof cases[0]);
}

#define SPLIT                                                                  \
    " begins with 0 and no number of the row has a point: is the decimal "     \
    "mark a comma? Then separate by semicolons"

#define OPEN_QUOTE                                                             \
    " is not closed on its line; close it, or write a quote within quotes "    \
    "twice"

/* RFC 4180, section 2.7: within quotes a quote is two. What stands behind one
 * that is not closed may have been cells, also those of ignored columns. */
static void test_quotes(void **state) {
    (void)state;
    static const refusal cases[] = {
        {"frame,x_mm,y_mm,\"note,kind\n0,1,2,a,device\n", 1, 17,
         "the quote before 'note,kind'" OPEN_QUOTE},
        {"frame,x_mm,y_mm,note,kind\n0,1,2,\"a,device\n", 2, 7,
         "the quote before 'a,device'" OPEN_QUOTE},
        {"frame,x_mm,y_mm,note\n0,1,2,\"a \"\"b\n", 2, 7,
         "the quote before 'a \"\"b'" OPEN_QUOTE},
        {HEAD "0,1,\"2\n", 2, 5, "the quote before '2'" OPEN_QUOTE},
        {"frame,x1,y1,x2,y2\n0,1,2,3,\"4\n", 2, 9,
         "the quote before '4'" OPEN_QUOTE},
        {"frame,note,x1,y1\n0,\"a,3,4\n", 2, 3,
         "the quote before 'a,3,4'" OPEN_QUOTE},
        {"frame 0\n1 2\n3 \"4\n", 3, 3, "the quote before '4'" OPEN_QUOTE},
        {"frame,x_mm,y_mm,kind\n0,1,2,\"a \"\"b, c\"\"\"\n", 2, 7,
         "kind is 'a \"\"b, c\"\"'; expected lumen, device or vessel"},
    };
    check_all(cases, sizeof cases / sizeof cases[0]);
}

static void test_wide(void **state) {
    (void)state;
    static const char rules[] =
        "; the coordinates of a wide table come last, x1,y1,x2,y2,..., without "
        "a gap";
    static const char radii[] =
        "; the coordinates of a wide table come last, r0,r1,..., without a gap";
    static const struct {
        const char *text;
        uint64_t column;
        const char *words;
        const char *rest;
    } headers[] = {
        {"frame,x1,y1,x3,y3\n", 13, "'x3' stands where x2 is expected", rules},
        {"frame,x0,x1,y0,y1\n", 10, "'x1' stands where y0 is expected", rules},
        {"frame,x1,y1,x2\n", 15, "nothing stands where y2 is expected", rules},
        {"frame,x1,y1,kind\n", 13, "'kind' stands where x2 is expected", rules},
        {"frame,x1,y1,,x2,y2\n", 13, "nothing stands where x2 is expected",
         rules},
        {"frame,r1,r2,r4\n", 13, "'r4' stands where r3 is expected", radii},
        {"frame,r0,x1,y1\n", 10, "'x1' stands where r1 is expected", radii},
    };
    for (size_t i = 0; i < sizeof headers / sizeof headers[0]; i++) {
        char expected[300];
        (void)snprintf(expected, sizeof expected, "%s%s", headers[i].words,
                       headers[i].rest);
        table_refused(headers[i].text, BL_ERR_INPUT, 1, headers[i].column,
                      expected);
    }
    static const refusal cases[] = {
        {"x1,y1\n", 1, 1, "no column is called frame in 'x1,y1'" NO_FRAME},
        {"frame,x1,y1,x2,y2\n0,0,5,1,5,2\n", 2, 11,
         "the row has more coordinates than the header names (4); name them "
         "all, or is the decimal mark a comma? Then separate by semicolons"},
        {"frame;x1;y1\n0;0;5;1\n", 2, 7,
         "the row has more coordinates than the header names (2); name them "
         "all"},
        {"frame,x1,y1,x2,y2\n0,0,5,1\n", 2, 8, "x number 2 has no y"},
        {"frame,x1,y1,x2,y2\n0,0,5,a,1\n", 2, 7,
         "x number 2 is 'a'; expected a number"},
        {"frame,x1,y1,x2,y2\n0,0,,1,1\n", 2, 5,
         "y number 1 is nothing; expected a number"},
        {"frame,x1,y1,x2,y2\n0,\"1,5\",1,1,1\n", 2, 3,
         "x number 1 is '1,5'; expected a number" COMMA},
        {"frame,x1,y1,x2,y2\n0,6,508,-0,038,,\n", 2, 12, "'038'" SPLIT},
        {"frame,r0,r1,r2,r3\n0,6,08,7,12\n", 2, 5, "'08'" SPLIT},
        {"frame,r0,r1,r2\n0,1,1\n", 2, 6,
         "the row has 2 radii and the header names 3; their angles follow from "
         "their number, so none may be missing"},
        {"frame,r0,r1,r2\n0,1,-1,1\n", 2, 5,
         "radius number 2 is negative; expected its distance from the "
         "catheter; if it fills what was not found, write long rows with the "
         "angles that were traced"},
        {"frame,r0,r1,r2\n0,1,1,1,1\n", 2, 9,
         "the row has more coordinates than the header names (3); name them "
         "all, or is the decimal mark a comma? Then separate by semicolons"},
        {"frame,kind,x1,y1\n0\n", 2, 2,
         "the row has 1 cell; the header has 4 columns"},
        {"frame,angle_deg,radius_mm\n0,1,-2\n", 2, 1,
         "the radius is negative; expected the distance from the catheter"},
    };
    check_all(cases, sizeof cases / sizeof cases[0]);
}

static void test_blocks(void **state) {
    (void)state;
    static const refusal cases[] = {
        {"frame 0\n1\n", 2, 2,
         "the line has 1 number; expected 'x y', a blank line or 'frame N'"},
        {"frame 0\n1 2 3\n", 2, 5,
         "more than two numbers in a line; expected 'x y'"},
        {"frame 0\n6,5,0,8\n", 2, 5,
         "more than two numbers in a line; expected 'x y', or is the decimal "
         "mark a comma? Then separate by blanks or semicolons"},
        {"frame 0\n\"6,5\",\"0,8\"\n", 2, 1,
         "x is '6,5'; expected a number" COMMA},
        {"frame 0\n1 2\n-\n", 3, 1, "x is '-'; expected a number" NOTHING},
        {"frame 0\n1 nan\n", 2, 3, "y is 'nan'; expected a number" NOTHING},
        {"frame 0\n0 0\n\n1 1\n", 4, 1,
         "a point outside a block; expected 'frame N' after a blank line"},
        {"frame 0\nframe one\n", 2, 1,
         "found 'frame one'; expected 'frame N' with N from 0 to 999999999"},
        {"frame 0\n0 0\nframe7\n", 3, 1,
         "found 'frame7'; expected 'frame N' with N from 0 to 999999999"},
        {"frame 0 time=1position=3\n", 1, 9,
         "'time=1position=3' after 'frame N'; expected kind=K, time=S or "
         "position=MM, without blanks around '='"},
        {"frame 0 time =1\n", 1, 9,
         "'time =1' after 'frame N'; expected kind=K, time=S or "
         "position=MM, without blanks around '='"},
        {"frame 0 kind=lumen Kind=device\n", 1, 20,
         "kind= is given twice; keep one"},
        {"frame 0 time=1 time=1\n", 1, 16, "time= is given twice; keep one"},
        {"frame 0 kind=tube\n", 1, 9,
         "'kind=tube' after 'frame N'; expected kind=K, time=S or "
         "position=MM, without blanks around '='"},
        {"frame 0 time=1,\n", 1, 9,
         "'time=1,' after 'frame N'; expected kind=K, time=S or "
         "position=MM, without blanks around '='"},
    };
    check_all(cases, sizeof cases / sizeof cases[0]);
}

#define FOREIGN(what)                                                          \
    "the file is " what "; expected a table in text: export or save it as CSV"

static void test_whole_inputs(void **state) {
    (void)state;
    static const refusal cases[] = {
        {"", 0, 0, "the input is empty; expected a table of contours"},
        {"\xef\xbb\xbf", 0, 0,
         "the input is empty; expected a table of contours"},
        {"# step_mm = 1\n\n", 2, 0,
         "there is no table after the notes; expected a header row such as "
         "'frame,x_mm,y_mm', or 'frame N'"},
        {HEAD, 1, 0,
         "the table has a header and no rows; expected a row a point"},
        {"PK\3\4abc", 1, 1,
         FOREIGN("a workbook of a spreadsheet, or another "
                 "ZIP archive")},
        {"%PDF-1.4\n", 1, 1, FOREIGN("a PDF document")},
        {"\x89PNG\r\n", 1, 1, FOREIGN("a PNG picture")},
        {"\xff\xd8\xff\xe0", 1, 1, FOREIGN("a JPEG picture")},
        {"<html>\n", 1, 1, FOREIGN("a web page or XML")},
        {"{\n", 1, 1, FOREIGN("JSON")},
        {"\x1f\x8b\x08", 0, 0,
         "the bytes are compressed with gzip; decompress them first"},
        {"\xff\xfe"
         "f",
         1, 1,
         "half a character of UTF-16; the table is damaged, export it again, "
         "as "
         "UTF-8 if you can"},
        {"\xfe\xff\xdc\x01", 1, 1,
         "half a character of UTF-16; the table is damaged, export it again, "
         "as "
         "UTF-8 if you can"},
        {"\xfe\xff", 0, 0, "the input is empty; expected a table of contours"},
    };
    check_all(cases, sizeof cases / sizeof cases[0]);
}

/* One right triangle of 4 by 3, however it is written. */
static void test_ways_of_writing(void **state) {
    (void)state;
    static const char *const texts[] = {
        STEP HEAD "7,0,0\n7,4,0\n7,4,3\n",
        STEP HEAD "7,0,0\r7,4,0\r7,4,3",
        " # step_mm = 1\n" HEAD "7,0,0\n  # three\n7,4,0\n7,4,3\n",
        STEP HEAD "7,0,0\r\n7,4,0\r\n7,4,3\r\n",
        "\xef\xbb\xbf" STEP HEAD "7,0,0\n7,4,0\n7,4,3\n",
        STEP HEAD "\n7.0,0,0,\n7,4.,0,,\n7, 4 ,3e0 \n\n",
        STEP "Y_MM,other,Frame,X_MM\n0,,7,0\n0,a,7,4\n3,\"b,c\",7,4\n",
        STEP "frame;x;y\n7;0;0\n7;4,0;0\n7;4;3,0\n",
        STEP "frame;x;y\n7;0;0\n7;4.0;0\n7;4;3.0\n",
        STEP "frame\tx\ty\n7\t0\t0\n7\t4,0\t0\n7\t4\t3\n",
        STEP "  frame x  y\n7 0  0 \n 7\t4,0 0\n7 4 3,00\n",
        STEP "frame,x,y,r2\n7,0,0,1\n7,4,0,1\n7,4,3,1\n",
        "sep=;\n" STEP "frame;x;y\n7;0;0\n7;4;0\n7;4;3\n",
        "\"sep=;\"\r\n" STEP "frame;x;y\n7;0;0\n7;4;0\n7;4;3\n",
        "sep=; \t\n" STEP "frame;x;y\n7;0;0\n7;4;0\n7;4;3\n",
        "sep=|\n" STEP "frame|x|y|\n7|0|0\n7|4,0|0\n7|4|3,0|\n",
        "sep=|\n" STEP "frame|x1|y1|x2|y2|x3|y3\n7|0|0|4|0|4|3\n",
        "sep=|\n" STEP "frame 7\n0|0\n4|0\n4|3\n",
        STEP "Frame,Point,x,y\n7,1,0,0\n7,,4,0\n7,c,4,3\n",
        STEP "\"frame\",\"x\",\"y\"\n\"7\",\"0\",0\n7,\"4\",0\n7,4,\"3\" \n",
        STEP "frame,x1,y1,x2,y2,x3,y3,x4,y4\n7,0,0,4,0,4,3\n",
        STEP "frame,x1,y1,x2,y2,x3,y3,x4,y4\n7,0,0,4,0,4,3,,\n",
        STEP "frame;X0;y0;x1;Y1;x2;y2;;\n7;0;0;4,0;0;4;3,0;;\n",
        STEP "frame x1 y1 x2 y2 x3 y3\n 7 0 0 4,0 0 4 3,0 \n",
        STEP
        "Kind,other,frame,x1,y1,x2,y2,x3,y3\nlumen,\"a,b\",7,0,0,4,0,4,3\n",
        STEP "# mm_per_px = 0.5\nframe,x1,y1,x2,y2,x3,y3\n7,0,0,8,0,8,6\n",
        STEP "frame 7\n0 0\n4 0\n4 3\n",
        STEP "frame 7\n0,0\n4,0\n4,3\n",
        STEP "frame 7,,\n0,0,\n4,0,,\n4,3\n,,\n",
        STEP "frame 7 kind=lumen time=1;;\n0;0\n4;0\n4;3\n",
        STEP "FRAME  7 \n0, 0\n4, 0\n4, 3\n\n\n",
        STEP "frame 7\n0,0 0\n4,0 0\n4 3\n",
        STEP "frame 7 Kind=LUMEN TIME=1\n0;0\n4,0;0\n4;3,0;\n",
        STEP "# mm_per_px = 0.5\nframe,x_px,y_px\n7,0,0\n7,8,0\n7,8,6\n",
        STEP "# mm_per_px_x = 2\n# mm_per_px_y = 1\nframe 7\n0 0\n2 0\n2 3\n",
        STEP "# y_axis = down\n" HEAD "7,0,0\n7,4,0\n7,4,-3\n",
        STEP "frame,angle_deg,radius_mm\n7,0,0\n7,0,4\n"
             "7,36.86989764584402,5\n",
        STEP "# mm_per_px_x = 2\n# mm_per_px_y = 1\n"
             "frame,angle_deg,radius_px\n7,0,0\n7,360,2\n"
             "7,56.309932474020215,3.605551275463989\n7,0,0\n",
    };
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        bl_study *study = table_study(texts[i], BL_COLUMNS_ALL);
        const bl_row *row = bl_study_rows(study);
        assert_int_equal(bl_study_row_count(study), 1);
        assert_int_equal(row->frame, 7);
        assert_int_equal(row->points, 3);
        check_close(row->measures.area_mm2, 6.0, 4e-15, "mm2");
        bl_contour contour = bl_study_contour(study, 0);
        check_close(contour.x_mm[2], 4.0, 2e-15, "mm");
        check_close(contour.y_mm[2], 3.0, 2e-15, "mm");
        bl_study_free(study);
    }
}

/* The separator that was told wins over what the header holds. */
static void test_told_separator(void **state) {
    (void)state;
    bl_study *study =
        table_study("sep=;\n" STEP "frame;x_mm;y_mm;a,b\n7;0;0;\n7;4;0;\n"
                    "7;4;3;\n",
                    BL_COLUMNS_ALL);
    assert_int_equal(bl_study_pullback(study)->separator, ';');
    assert_int_equal(bl_study_pullback(study)->ignored_columns, 1);
    assert_string_equal(bl_study_findings(study)[0].message.text,
                        "1 unknown column is ignored, the first is 'a,b'");
    assert_int_equal(bl_study_findings(study)[0].message.line, 3);
    assert_int_equal(bl_study_findings(study)[0].message.column, 17);
    bl_study_free(study);
    study = table_study("sep=|\n" STEP "frame|x|y|a,b;c\n7|0|0\n7|4|0\n7|4|3\n",
                        BL_COLUMNS_ALL);
    assert_int_equal(bl_study_pullback(study)->separator, '|');
    assert_int_equal(bl_study_pullback(study)->ignored_columns, 1);
    bl_study_free(study);
    study =
        table_study("sep=,\n" STEP "frame 0\n0,5\n4,0\n4,3\n", BL_COLUMNS_ALL);
    assert_int_equal(bl_study_pullback(study)->separator, ',');
    bl_study_free(study);
}

/* What reads well and is hardly meant: the last of `count` findings. */
typedef struct doubt {
    const char *text;
    size_t count;
    uint64_t line;
    int64_t frame;
    const char *expected;
} doubt;

static void check_doubts(const doubt *cases, size_t count) {
    for (size_t i = 0; i < count; i++) {
        bl_study *study = table_study(cases[i].text, BL_COLUMNS_ALL);
        size_t found = bl_study_finding_count(study);
        /* These contours are small, which is told at the end. */
        found -= found > 0 &&
                 strstr(bl_study_findings(study)[found - 1].message.text,
                        "and deep veins have 3 to 35 mm") != NULL;
        const bl_finding *last =
            found == 0 ? NULL : &bl_study_findings(study)[found - 1];
        if (found != cases[i].count) {
            print_error("%s\n%s\n", cases[i].text,
                        last == NULL ? "" : last->message.text);
        }
        assert_int_equal(found, cases[i].count);
        if (last != NULL) {
            assert_string_equal(last->message.text, cases[i].expected);
            assert_int_equal(last->message.line, cases[i].line);
            assert_int_equal(last->frame, cases[i].frame);
        }
        bl_study_free(study);
    }
}

#define FILL                                                                   \
    " in points at exactly 0,0; if zeros fill what was not traced, leave "     \
    "them out: area and shape are wrong with them"
#define TWELVE "6,5,7,4,8,3,6,2,5,1,4,1,3,2,2,3,2,4,3,5,4,6,5,6"
#define WIDE12                                                                 \
    "x1,y1,x2,y2,x3,y3,x4,y4,x5,y5,x6,y6,x7,y7,x8,y8,x9,y9,x10,y10,x11,"       \
    "y11,x12,y12\n"

#define RADIANS                                                                \
    "1,0,8.5\n1,0.5,8\n1,1,8\n1,1.5,8\n1,2,8\n1,2.5,8\n1,3,8\n1,3.5,8\n"       \
    "1,4,8\n1,4.5,8\n1,5,8\n"

/* Eleven points. */
#define TO_250                                                                 \
    "1,0,8.5\n1,25,8\n1,50,8\n1,75,8\n1,100,8\n1,125,8\n1,150,8\n1,175,8\n"    \
    "1,200,8\n1,225,8\n1,250,8\n"
#define TO_250_OF_2                                                            \
    "2,0,8\n2,25,8\n2,50,8\n2,75,8\n2,100,8\n2,125,8\n2,150,8\n2,175,8\n"      \
    "2,200,8\n2,225,8\n2,250,8\n"
#define GAP " no point in a quarter of the turn or more "
#define LEAVE                                                                  \
    ": angles count from 0 to 360 about the catheter, and what was not "       \
    "traced is cut off by a straight edge; correct the angles or leave "

static void test_doubts(void **state) {
    (void)state;
    static const doubt cases[] = {
        {STEP HEAD "7,4,0\n7,4,3\n7,0,3\n7,0,0\n8,1,1\n8,2,1\n8,1,2\n", 1, 3, 7,
         "1 contour ends" FILL},
        {STEP "frame,x1,y1,x2,y2,x3,y3,x4,y4\n1,1,1,5,0,5,5,0,4\n"
              "2,4,1,4,3,1,3,0,0\n3,4,1,4,3,0,0,0,0\n",
         1, 4, 2, "2 contours end" FILL},
        {STEP "frame 5\n1 1\n1 2\n2 1\n0 0.0\n-0 0\n", 1, 2, 5,
         "1 contour ends" FILL},
        /* Closing a contour that begins there. */
        {STEP HEAD "7,0,0\n7,4,0\n7,4,3\n7,0,0\n", 0, 0, 0, NULL},
        {STEP HEAD "7,0,0\n7,4,0\n7,4,3\n7,0,0\n7,0,0\n", 1, 3, 7,
         "1 contour ends" FILL},
        {STEP "frame,r0,r1,r2,r3\n1,1,2,1,3\n2,3,4,0,0\n", 1, 4, 2,
         "1 contour has a radius of exactly 0, which the catheter within the "
         "vein does not allow; if zeros fill what was not traced, leave those "
         "contours out"},
        {STEP "frame," WIDE12 "1," TWELVE "\n", 1, 0, -1,
         "every coordinate is a whole number of mm; is the decimal mark a "
         "comma, which separates here? Then separate by semicolons. Or are "
         "these pixels? Then give their scale"},
        {STEP "# mm_per_px = 1\nframe," WIDE12 "1," TWELVE "\n", 0, 0, 0, NULL},
        {STEP "frame," WIDE12 "1," TWELVE "\n2," TWELVE ".5\n", 0, 0, 0, NULL},
        {STEP "frame,angle_deg,radius_mm\n" RADIANS "1,5.8,8\n", 1, 0, -1,
         "no angle is beyond 6.3 degrees; are these radians? Then give them in "
         "degrees"},
        {STEP "frame,angle_deg,radius_mm\n" RADIANS "1,-6.3,8\n", 1, 0, -1,
         "no angle is beyond 6.3 degrees; are these radians? Then give them in "
         "degrees"},
        {STEP "frame,angle_deg,radius_mm\n" RADIANS "1,-6.30001,8\n", 1, 3, 1,
         "1 contour has" GAP "(354 degrees in frame 1)" LEAVE "it out"},
        {STEP "frame,angle_deg,radius_mm\n" TO_250 "1,270,8\n", 1, 3, 1,
         "1 contour has" GAP "(90 degrees in frame 1)" LEAVE "it out"},
        {STEP "frame,angle_deg,radius_mm\n" TO_250 "1,270.01,8\n", 0, 0, 0,
         NULL},
        /* The other way round, and the gap between two angles. */
        {STEP "frame,angle_deg,radius_mm\n"
              "4,360,8\n4,340,8\n4,310,8\n4,280,8\n4,270,8\n4,180,8\n4,150,8\n"
              "4,120,8\n4,90,8\n4,60,8\n4,30,8\n4,0,8\n" TO_250 "1,310,8\n",
         1, 3, 4, "1 contour has" GAP "(90 degrees in frame 4)" LEAVE "it out"},
        {STEP "frame,angle_deg,radius_mm\n" TO_250 "1,270,8\n" TO_250_OF_2
              "2,200,8\n",
         1, 3, 1,
         "2 contours have" GAP "(90 degrees in frame 1)" LEAVE "them out"},
        {STEP "frame,angle_deg,radius_mm\n" RADIANS, 0, 0, 0, NULL},
        {STEP "frame,Point,x,y\n7,1,0,0\n7,,4,0\n7,c,4,3\n", 0, 0, 0, NULL},
        {"# at = 1 = 5\n# at = 2 = 5\n" HEAD
         "1,0,0\n1,4,0\n1,4,3\n2,0,0\n2,4,0\n2,4,3\n",
         0, 0, 0, NULL},
        {"# mm_per_px_y = 1\n" STEP HEAD "7,0,0\n7,4,0\n7,4,3\n", 1, 1, -1,
         "mm_per_px_y is not used: by the names of their columns coordinates "
         "are in mm"},
        {STEP "n,frame,Position,x,y\n1,7,1,0,0\n1,7,1,4,0\n1,7,1,4,3\n", 1, 2,
         -1,
         "2 unknown columns are ignored, the first is 'n'; rename 'Position' "
         "to position_mm if that is meant"},
        {STEP "frame,x,y,time_ms\n7,0,0,1\n7,4,0,1\n7,4,3,1\n", 1, 2, -1,
         "1 unknown column is ignored, the first is 'time_ms'; convert "
         "'time_ms' to time_s (divide by 1000) if that is meant"},
        {STEP ",,\n , ,\n" HEAD "7,0,0\n,,\n7,4,0\n7,4,3\n,,\n", 1, 2, -1,
         "4 rows of separators only are ignored"},
        {"\"# step_mm = 1\",;\nsep=;\n;;\nframe;x;y\n7;0;0\n7;4;0\n7;4;3\n", 1,
         3, -1, "1 row of separators only is ignored"},
        {STEP ";;\nframe 7\n0;0\n4;0\n4;3\n;;\nframe 8\n0;0\n4;0\n4;3\n", 1, 2,
         -1, "2 rows of separators only are ignored"},
    };
    check_doubts(cases, sizeof cases / sizeof cases[0]);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_rows),
        cmocka_unit_test(test_headers),
        cmocka_unit_test(test_blocks),
        cmocka_unit_test(test_whole_inputs),
        cmocka_unit_test(test_quotes),
        cmocka_unit_test(test_wide),
        cmocka_unit_test(test_ways_of_writing),
        cmocka_unit_test(test_told_separator),
        cmocka_unit_test(test_doubts),
    };
    return cmocka_run_group_tests_name("reader messages", tests, NULL, NULL);
}
