/* SPDX-License-Identifier: MIT */
/* What is no course, and what is said of it: place, path, value, range and slip. */
#include "road/layout_read.h"
#include "support/test.h"

typedef struct refusal {
    const char *text, *says; /* "file:line:column|path|message" */
} refusal;

/* clang-format off */
static const refusal refusals[] = {
        {"name: a\n"
         "pieces:\n"
         "  - straight: { length: 200 m }\n"
         "  - arc: { radius: 45 mm, angle: 180 deg, turn: left }\n"
         "  - straight: { length: 200 m }\n"
         "  - arc: { radius: 50 m, angle: 180 deg, turn: left }\n",
         "a.yaml:4:20|pieces[2].arc.radius|\"45 mm\" (0.045 m) is outside 3 m to 100000 m; did you mean \"45 m\"?"},
        {"name: a\n"
         "pieces:\n"
         "  - straight: { length: 200 m }\n"
         "  - arc: { radius: 2.9 m, angle: 180 deg, turn: left }\n"
         "  - straight: { length: 200 m }\n"
         "  - arc: { radius: 50 m, angle: 180 deg, turn: left }\n",
         "a.yaml:4:20|pieces[2].arc.radius|2.9 m is outside 3 m to 100000 m; did you mean \"2.9 km\"?"},
        {"name: a\n"
         "pieces:\n"
         "  - straight: { length: 200 m }\n"
         "  - arc: { radius: 50 m, angle: 400 deg, turn: left }\n"
         "  - straight: { length: 200 m }\n"
         "  - arc: { radius: 50 m, angle: 180 deg, turn: left }\n",
         "a.yaml:4:33|pieces[2].arc.angle|400 deg is outside 0.001 deg to 360 deg"},
        {"name: a\n"
         "pieces:\n"
         "  - straight: { length: 200 m }\n"
         "  - arc: { radius: 50 m, angle: 0, turn: left }\n"
         "  - straight: { length: 200 m }\n"
         "  - arc: { radius: 50 m, angle: 180 deg, turn: left }\n",
         "a.yaml:4:33|pieces[2].arc.angle|0 deg is outside 0.001 deg to 360 deg"},
        {"name: a\n"
         "pieces:\n"
         "  - straight: { length: 200 m }\n"
         "  - arc: { radius: 50 m, angle: 180 deg, turn: lefft }\n"
         "  - straight: { length: 200 m }\n"
         "  - arc: { radius: 50 m, angle: 180 deg, turn: left }\n",
         "a.yaml:4:48|pieces[2].arc.turn|\"lefft\" is not one of \"left\", \"right\"; did you mean \"left\"?"},
        {"name: a\n"
         "pieces:\n"
         "  - straight: { length: 200 m }\n"
         "  - arc: { radius: 50 m, angle: 180 deg, bank: 2 deg }\n"
         "  - straight: { length: 200 m }\n"
         "  - arc: { radius: 50 m, angle: 180 deg, turn: left }\n",
         "a.yaml:4:10|pieces[2].arc.turn|missing: \"turn\" (to which side it turns: left or right)"},
        {"name: a\n"
         "pieces:\n"
         "  - straight: { length: 200 m }\n"
         "  - arc: { radius: 50 m, angle: 180 deg, turn: left, banking: 2 deg }\n"
         "  - straight: { length: 200 m }\n"
         "  - arc: { radius: 50 m, angle: 180 deg, turn: left }\n",
         "a.yaml:4:63|pieces[2].arc.banking|unknown key \"banking\"; did you mean \"bank\"?"},
        {"name: a\n"
         "pieces:\n"
         "  - straight: { length: 200 m }\n"
         "  - arc: { radius: 50 m, angle: 180 deg, turn: left, bank: 50 deg }\n"
         "  - straight: { length: 200 m }\n"
         "  - arc: { radius: 50 m, angle: 180 deg, turn: left }\n",
         "a.yaml:4:60|pieces[2].arc.bank|50 deg is outside -45 deg to 45 deg"},
        {"name: a\n"
         "pieces:\n"
         "  - straight: { length: 200 m }\n"
         "  - arc: { radius: 50 m, angle: 180 deg, turn: left, grade: 3 }\n"
         "  - straight: { length: 200 m }\n"
         "  - arc: { radius: 50 m, angle: 180 deg, turn: left }\n",
         "a.yaml:4:61|pieces[2].arc.grade|3 is outside -0.35 to 0.35; did you mean \"3 %\"?"},
        {"name: a\n"
         "pieces:\n"
         "  - straight: { length: 200 m }\n"
         "  - arc: { radius: 50 m, angle: 180 deg, turn: left, surface: 9 }\n"
         "  - straight: { length: 200 m }\n"
         "  - arc: { radius: 50 m, angle: 180 deg, turn: left }\n",
         "a.yaml:4:63|pieces[2].arc.surface|9 is outside 0.2 to 1.5"},
        {"name: a\n"
         "pieces:\n"
         "  - straight: { length: 200 m }\n"
         "  - arc: { radius: 50 m, angle: 180 deg, turn: left, radius: 3 m }\n"
         "  - straight: { length: 200 m }\n"
         "  - arc: { radius: 50 m, angle: 180 deg, turn: left }\n",
         "a.yaml:4:54||the key \"radius\" is here twice; the first is on line 4"},
        {"name: a\n"
         "pieces:\n"
         "  - straight: { length: 0 m }\n"
         "  - arc: { radius: 50 m, angle: 180 deg, turn: left }\n"
         "  - straight: { length: 200 m }\n"
         "  - arc: { radius: 50 m, angle: 180 deg, turn: left }\n",
         "a.yaml:3:25|pieces[1].straight.length|0 m is outside 0.001 m to 1000000 m"},
        {"name: a\n"
         "pieces:\n"
         "  - straight: { length: 200 m }\n"
         "  - arc: { radius: 50 m, angle: 170 deg, turn: left }\n"
         "  - straight: { length: 200 m }\n"
         "  - arc: { radius: 50 m, angle: 180 deg, turn: left }\n",
         "a.yaml:3:3|pieces|the course turns 350 deg to the left in all, and a closed one turns 360 deg, a multiple of it, or none; turn 10 deg more to the left, as pieces[4].arc with angle: 190 deg would (or say closed: false)"},
        {"name: a\n"
         "pieces:\n"
         "  - straight: { length: 260 m }\n"
         "  - arc: { radius: 50 m, angle: 180 deg, turn: left }\n"
         "  - straight: { length: 200 m }\n"
         "  - arc: { radius: 50 m, angle: 180 deg, turn: left }\n",
         "a.yaml:3:3|pieces|the course ends 60.0 m east and 0.0 m north of its start, if that heads east: 60.0 m off, where 1 % of its length is 7.7 m; pieces[1].straight with length: 200.00 m would close it (or say closed: false)"},
        {"name: a\n"
         "start: 2 km\n"
         "pieces:\n"
         "  - straight: { length: 200 m }\n"
         "  - arc: { radius: 50 m, angle: 180 deg, turn: left }\n"
         "  - straight: { length: 200 m }\n"
         "  - arc: { radius: 50 m, angle: 180 deg, turn: left }\n",
         "a.yaml:2:8|start|2000 m is off the course, which is 714.159 m long"},
        {"name: a\n"
         "closed: false\n"
         "start: 20 m\n"
         "pieces:\n"
         "  - straight: { length: 200 m }\n"
         "  - arc: { radius: 50 m, angle: 180 deg, turn: left }\n"
         "  - straight: { length: 200 m }\n"
         "  - arc: { radius: 50 m, angle: 180 deg, turn: left }\n",
         "a.yaml:3:8|start|an open course starts where it begins; remove this key, or cut the pieces before it"},
        {"name: a\n"
         "closed: maybe\n"
         "pieces:\n"
         "  - straight: { length: 200 m }\n"
         "  - arc: { radius: 50 m, angle: 180 deg, turn: left }\n"
         "  - straight: { length: 200 m }\n"
         "  - arc: { radius: 50 m, angle: 180 deg, turn: left }\n",
         "a.yaml:2:9|closed|expected true or false, found the text \"maybe\""},
        {"name: a\n"
         "pit_entry: 0.8 km\n"
         "pieces:\n"
         "  - straight: { length: 200 m }\n"
         "  - arc: { radius: 50 m, angle: 180 deg, turn: left }\n"
         "  - straight: { length: 200 m }\n"
         "  - arc: { radius: 50 m, angle: 180 deg, turn: left }\n",
         "a.yaml:2:12|pit_entry|800 m is off the course, which is 714.159 m long"},
        {"name: a\n"
         "splits: [ 300 m, 200 m ]\n"
         "pieces:\n"
         "  - straight: { length: 200 m }\n"
         "  - arc: { radius: 50 m, angle: 180 deg, turn: left }\n"
         "  - straight: { length: 200 m }\n"
         "  - arc: { radius: 50 m, angle: 180 deg, turn: left }\n",
         "a.yaml:2:18|splits[2]|200 m does not come after 300 m; splits stand in the order in which they are passed"},
        {"name: a\n"
         "splits: [ 100 m,\n"
         "  900 m ]\n"
         "pieces:\n"
         "  - straight: { length: 200 m }\n"
         "  - arc: { radius: 50 m, angle: 180 deg, turn: left }\n"
         "  - straight: { length: 200 m }\n"
         "  - arc: { radius: 50 m, angle: 180 deg, turn: left }\n",
         "a.yaml:3:3|splits[2]|900 m is off the course, which is 714.159 m long"},
        {"name: a\n"
         "splits: []\n"
         "pieces:\n"
         "  - straight: { length: 200 m }\n"
         "  - arc: { radius: 50 m, angle: 180 deg, turn: left }\n"
         "  - straight: { length: 200 m }\n"
         "  - arc: { radius: 50 m, angle: 180 deg, turn: left }\n",
         "a.yaml:2:9|splits|needs at least 1 value, has 0"},
        {"name: a\n"
         "splitz: [ 1 m ]\n"
         "pieces:\n"
         "  - straight: { length: 200 m }\n"
         "  - arc: { radius: 50 m, angle: 180 deg, turn: left }\n"
         "  - straight: { length: 200 m }\n"
         "  - arc: { radius: 50 m, angle: 180 deg, turn: left }\n",
         "a.yaml:2:9|splitz|unknown key \"splitz\"; did you mean \"splits\"?"},
        {"name: a\n"
         "points: [ [0,0], [1,0], [2,0], [3,0], [4,0], [5,0], [6,0], [7,0] ]\n"
         "pieces:\n"
         "  - straight: { length: 200 m }\n"
         "  - arc: { radius: 50 m, angle: 180 deg, turn: left }\n"
         "  - straight: { length: 200 m }\n"
         "  - arc: { radius: 50 m, angle: 180 deg, turn: left }\n",
         "a.yaml:2:9|points|a course is drawn from pieces or from points, not from both; remove one"},
        {"name: a\n",
         "a.yaml:1:1||nothing to drive on; give the course \"pieces\" (straights and arcs) or \"points\" (places along its centreline)"},
        {"name: a\n"
         "pieces: []\n",
         "a.yaml:2:9|pieces|needs at least 1 piece, has 0"},
        {"pieces:\n"
         "  - straight: { length: 20 m }\n",
         "a.yaml:1:1|name|missing: \"name\" (what the course is called)"},
        {"name: a\n"
         "pieces:\n"
         "  - straigth: { length: 20 m }\n",
         "a.yaml:3:15|pieces[1].straigth|unknown key \"straigth\"; did you mean \"straight\"?"},
        {"name: a\n"
         "pieces:\n"
         "  - straight: { length: 20 m }\n"
         "    arc: { radius: 9 m, angle: 9 deg, turn: left }\n",
         "a.yaml:4:10|pieces[1].arc|a piece is one of straight, arc and curve; write the next one as an item of its own, after a dash"},
        {"name: a\n"
         "pieces:\n"
         "  - {}\n",
         "a.yaml:3:5|pieces[1]|empty; a piece is a straight, an arc or a curve"},
        {"name: a\n"
         "pieces:\n"
         "  straight: { length: 20 m }\n",
         "a.yaml:3:3|pieces|expected a list of pieces, found a table of keys"},
        {"name: a\n"
         "closed: false\n"
         "pieces:\n"
         "  - curve: { length: 20 m, from: 0.5, to: 0 }\n",
         "a.yaml:4:34|pieces[1].curve.from|0.5 is outside -0.333333 to 0.333333"},
        {"name: a\n"
         "pieces:\n"
         "  - arc: { radius: 50 m, angle: 360 deg, turn: left, grade: 3 % }\n",
         "a.yaml:3:3|pieces|the course ends 9.4 m above its start, where 0.2 % of its length is 0.6 m; make the grades sum to nothing, as 3 % less on each piece would"},
        {"name: a\n"
         "pieces:\n"
         "  - arc: { radius: 500 m, angle: 180 deg, turn: left }\n"
         "  - arc: { radius: 50 m, angle: 180 deg, turn: left }\n",
         "a.yaml:3:3|pieces|the course ends 0.0 m east and 900.0 m north of its start, if that heads east: 900.0 m off, where 1 % of its length is 17.3 m; pieces[1].arc with radius: 50.00 m would close it (or say closed: false)"},
        {"name: a\n"
         "points: [ [0,0], [9,0], [9,9] ]\n",
         "a.yaml:2:9|points|needs at least 8 points, has 3"},
        {"name: a\n"
         "points: [ [0,0], [9,0], [9,9,9], [0,9], [0,8], [0,7], [0,6], [0,5] ]\n",
         "a.yaml:2:11|points[1]|no height, while others have one; give it to all points or to none"},
        {"name: a\n"
         "points: [ [0,0], [90,0], [90,0], [90,90], [60,90], [30,90], [0,90], [0,50] ]\n",
         "a.yaml:2:26|points[3]|the same place as points[2], to within 0.01 m; leave one of them out"},
        {"name: a\n"
         "points: [ [0,0], [40,0], { x: 80, y: 0, height: 3 }, [90,90], [60,90], [30,90], [0,90], [0,50] ]\n",
         "a.yaml:2:11|points[1]|no height, while others have one; give it to all points or to none"},
        {"name: a\n"
         "points:\n"
         "  - [0,0]\n"
         "  - [40,0]\n"
         "  - [2,1]\n"
         "  - [60,2]\n"
         "  - [80,0]\n"
         "  - [80,40]\n"
         "  - [40,60]\n"
         "  - [0,40]\n",
         "a.yaml:5:5|points[3]|the line through the points bends to a radius of 0.72 m near here, and 3 m is the least; is a point out of order or off the line?"},
        {"name: a\n"
         "closed: false\n"
         "points:\n"
         "  - { x: 0, y: 0, height: 0 }\n"
         "  - { x: 30, y: 0, height: 0 }\n"
         "  - { x: 60, y: 0, height: 0 }\n"
         "  - { x: 90, y: 0, height: 40 }\n"
         "  - { x: 120, y: 0, height: 40 }\n"
         "  - { x: 150, y: 0, height: 40 }\n"
         "  - { x: 180, y: 0, height: 40 }\n"
         "  - { x: 210, y: 0, height: 40 }\n",
         "a.yaml:6:5|points[3]|the heights give a grade of 158 % near here, and 35 % is the most; are they in the unit that is written?"},
        {"[ 1, 2 ]\n",
         "a.yaml:1:1|layout|expected a layout (a table of its keys), found a list"},
        {"name: a\n"
         "name: b\n",
         "a.yaml:2:1||the key \"name\" is here twice; the first is on line 1"},
        {"name: a\n"
         "pieces:\n"
         "  - straight: { length: 130 m }\n"
         "  - arc: { radius: 20 m, angle: 90 deg, turn: left }\n"
         "  - straight: { length: 100 m }\n"
         "  - arc: { radius: 20 m, angle: 90 deg, turn: left }\n"
         "  - straight: { length: 100 m }\n"
         "  - arc: { radius: 20 m, angle: 90 deg, turn: left }\n"
         "  - straight: { length: 80 m }\n"
         "  - arc: { radius: 20 m, angle: 90 deg, turn: left }\n",
         "a.yaml:3:3|pieces|the course ends 30.0 m east and 20.0 m north of its start, if that heads east: 36.1 m off, where 1 % of its length is 5.4 m; pieces[1].straight with length: 100.00 m and pieces[3].straight with length: 80.00 m would close it (or say closed: false)"},
        {"name: a\n"
         "pieces:\n"
         "  - curve: { length: 300 m, from: 0.02, to: 0.021 }\n",
         "a.yaml:3:3|pieces|the course turns 352.369 deg to the left in all, and a closed one turns 360 deg, a multiple of it, or none; turn 7.63096 deg more to the left (or say closed: false)"},
        {"name: a\n"
         "closed: false\n"
         "pieces:\n"
         "  - straight: { length: 900 km }\n"
         "  - straight: { length: 200 km }\n",
         "a.yaml:4:3|pieces|the course is 1.1e+06 m long; at most 1000000 m are taken"},
        {"name: \"a\\nb\"\n"
         "pieces:\n"
         "  - straight: { length: 900 m }\n",
         "a.yaml:1:7|name|\"a?b\" holds control characters or is not UTF-8"},
        {"name: a\n"
         "splits: [ 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17 ]\n"
         "pieces:\n"
         "  - straight: { length: 900 m }\n",
         "a.yaml:2:9|splits|takes at most 16 values, has 17"},
        {"name: a\n"
         "points: { x: 3 }\n",
         "a.yaml:2:9|points|expected a list of points, found a table of keys"},
        {"name: a\n"
         "points: [ [0,0], [40,0], [80,0,3,4], [90,90], [60,90], [30,90], [0,90], [0,50] ]\n",
         "a.yaml:2:26|points[3]|expected a point (a table of its keys), found a list"},
        {"name: a\n"
         "points: [ [0,0], [40,0], [80,0], [90,90 s], [60,90], [30,90], [0,90], [0,50] ]\n",
         "a.yaml:2:38|points[4].y|\"90 s\": \"s\" is a unit of time; a length takes m, mm, cm, km, in, ft, mi"},
};
/* clang-format on */

static void what_is_no_course_is_refused_in_full(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof refusals / sizeof refusals[0]; i++) {
        const char *text = refusals[i].text;
        mbl_error err = {0};
        mbl_layout *layout = NULL;
        assert_int_equal(
            mbl_layout_parse(&mbl_alloc_libc, "a.yaml", text, strlen(text), &layout, &err),
            MBL_INPUT);
        assert_null(layout);
        char said[1200];
        snprintf(said, sizeof said, "%s:%d:%d|%s|%s", err.file, err.line, err.column, err.path,
                 err.text);
        if (strcmp(said, refusals[i].says) != 0)
            fail_msg("of\n%ssaid:     %s\nexpected: %s", text, said, refusals[i].says);
    }
}

/* The change that is named is one that helps: pieces 1 and 3 of the course above, as told. */
static void the_change_that_is_named_closes_the_course(void **state)
{
    (void)state;
    static const char text[] = "name: a\npieces:\n"
                               "  - straight: { length: 100.00 m }\n"
                               "  - arc: { radius: 20 m, angle: 90 deg, turn: left }\n"
                               "  - straight: { length: 80.00 m }\n"
                               "  - arc: { radius: 20 m, angle: 90 deg, turn: left }\n"
                               "  - straight: { length: 100 m }\n"
                               "  - arc: { radius: 20 m, angle: 90 deg, turn: left }\n"
                               "  - straight: { length: 80 m }\n"
                               "  - arc: { radius: 20 m, angle: 90 deg, turn: left }\n";
    mbl_error err = {0};
    mbl_layout *layout = NULL;
    assert_ok(mbl_layout_parse(&mbl_alloc_libc, "a.yaml", text, strlen(text), &layout, &err), err);
    assert_near(layout->gap, 0, 0.01);
    mbl_layout_drop(layout);
}

static void a_file_that_is_not_there_is_named(void **state)
{
    (void)state;
    mbl_error err = {0};
    mbl_layout *layout = NULL;
    assert_int_equal(mbl_layout_read(&mbl_alloc_libc, "no/such.yaml", &layout, &err), MBL_FILE);
    assert_has(err.text, "no/such.yaml");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_no_course_is_refused_in_full),
        cmocka_unit_test(the_change_that_is_named_closes_the_course),
        cmocka_unit_test(a_file_that_is_not_there_is_named),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
