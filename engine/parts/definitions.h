/* SPDX-License-Identifier: MIT */
/*
 * The definitions a script can make, as plain structs. SI and kelvin; NAN marks a number that
 * was not given and is inferred later (the field tables in define_*.c say by which rule).
 */
#ifndef MBL_PARTS_DEFINITIONS_H
#define MBL_PARTS_DEFINITIONS_H

#include "parts/schema.h"

typedef enum mbl_construction { MBL_ONE_PIECE, MBL_TWO_PIECE } mbl_construction;
typedef enum mbl_hat { MBL_HAT_PLAIN, MBL_HAT_INVERTED } mbl_hat;
typedef enum mbl_caliper_type { MBL_CALIPER_FIXED, MBL_CALIPER_SLIDING } mbl_caliper_type;
typedef enum mbl_body { MBL_BODY_ALUMINIUM, MBL_BODY_IRON } mbl_body;
typedef enum mbl_piston { MBL_PISTON_STEEL, MBL_PISTON_ALUMINIUM, MBL_PISTON_TITANIUM } mbl_piston;
typedef enum mbl_vane_kind {
    MBL_VANES_STRAIGHT,
    MBL_VANES_CURVED,
    MBL_VANES_PILLARS
} mbl_vane_kind;
typedef enum mbl_condition { MBL_PAD_BEDDED, MBL_PAD_GREEN, MBL_PAD_GLAZED } mbl_condition;
typedef enum mbl_grade {
    MBL_DOT_3,
    MBL_DOT_4,
    MBL_DOT_5,
    MBL_DOT_5_1,
    MBL_CLASS_3,
    MBL_CLASS_4,
    MBL_CLASS_5_1,
    MBL_CLASS_6,
    MBL_CLASS_7
} mbl_grade;
typedef enum mbl_inlet { MBL_INLET_FLUSH, MBL_INLET_SUBMERGED, MBL_INLET_NOSE } mbl_inlet;
typedef enum mbl_hose { MBL_HOSE_SMOOTH, MBL_HOSE_CORRUGATED, MBL_HOSE_COMPRESSED } mbl_hose;
typedef enum mbl_hose_material { MBL_HOSE_SILICONE, MBL_HOSE_NEOPRENE } mbl_hose_material;
typedef enum mbl_aim { MBL_AIM_EYE, MBL_AIM_OPEN_EYE, MBL_AIM_FACE, MBL_AIM_CALIPER } mbl_aim;
typedef enum mbl_judge { MBL_JUDGE_LESSER, MBL_JUDGE_PRESENT } mbl_judge;
typedef enum mbl_phase_kind {
    MBL_PHASE_OUT,
    MBL_PHASE_HOT,
    MBL_PHASE_TRAFFIC,
    MBL_PHASE_COOL,
    MBL_PHASE_IN,
    MBL_PHASE_PARK,
    MBL_PHASE_LOGGED
} mbl_phase_kind;

typedef struct mbl_rotor {
    double diameter;     /* m */
    double thickness;    /* m */
    double ring_mass;    /* kg, or NAN: see mbl_rotor_ring_mass */
    double mass;         /* kg, of the whole rotor, or NAN */
    double hat_mass;     /* kg */
    double ring_height;  /* m, or NAN */
    int construction;    /* mbl_construction */
    int hat;             /* mbl_hat */
    int vanes;           /* 0 for a solid ring; -1: not given, see mbl_rotor_vanes */
    int vane;            /* mbl_vane_kind */
    double pumping;      /* of the ideal air speed in the vanes, or NAN: by vane kind */
    double conductivity; /* W/mK of the ring */
    double emissivity;   /* of everything the pads do not rub */
    double face_emissivity;
    double minimum; /* m, or NAN */
    double wear;    /* m3/J, both faces, per friction energy */
    double cost;    /* of one */
    double labour;  /* s, for an axle */
} mbl_rotor;

typedef struct mbl_pad {
    double area;               /* m2, one pad */
    double height;             /* m, radial */
    double thickness;          /* m of friction material when new */
    double thickness_now;      /* m, or NAN: new */
    mbl_curve friction;        /* coefficient over face temperature, K */
    mbl_curve speed_effect;    /* factor over speed of the car, m/s; n = 0: none */
    mbl_curve pressure_effect; /* factor over line pressure, Pa; n = 0: none */
    int condition;             /* mbl_condition */
    mbl_numbers window;        /* K, lower and upper */
    double conductivity;       /* W/mK */
    double density;            /* kg/m3 */
    double specific_heat;      /* J/kgK */
    double plate_thickness;    /* m, steel */
    double contact;            /* W/m2K per MPa of contact pressure */
    double worn_at;            /* m of friction material, or NAN: see mbl_pad_worn_at */
    double wear;               /* m3/J below the onset */
    double wear_onset;         /* K, or NAN: see mbl_pad_wear_onset */
    double wear_activation;    /* J/mol above the onset */
    mbl_curve wear_effect;     /* factor over face temperature, K; n = 0: onset and activation */
    double squeeze;            /* m that one pad gives under 100 bar of line pressure */
    double cost;               /* of the set of an axle */
    double labour;             /* s, for an axle */
} mbl_pad;

typedef struct mbl_caliper {
    int type;            /* mbl_caliper_type */
    mbl_numbers pistons; /* m, diameters on one side */
    double mass;         /* kg, without pads */
    int body;            /* mbl_body */
    int piston;          /* mbl_piston */
    double rating;       /* Pa of line pressure, or NAN */
    double opening;      /* m, under 100 bar of line pressure */
    double rollback;     /* m, each pad */
    double cost;         /* of one */
    double labour;       /* s, for an axle */
} mbl_caliper;

typedef struct mbl_fluid {
    int grade;           /* mbl_grade, or -1 */
    double dry;          /* K, boiling point without water, or NAN: minimum of the grade */
    double wet;          /* K, at the water of the wet test, or NAN: minimum of the grade */
    double water;        /* share by mass at present, or NAN: by age */
    double age;          /* s since the bottle was opened */
    double uptake;       /* share by mass in 30 days */
    mbl_curve boiling;   /* C over water, at one atmosphere; n = 0: by dry and wet */
    double bulk_modulus; /* Pa */
    double cost;         /* of a litre */
    double labour;       /* s, to bleed the car */
} mbl_fluid;

typedef struct mbl_duct {
    double bore;          /* m, inside diameter of the hose */
    double length;        /* m */
    int bends;            /* of 90 degrees */
    int inlet;            /* mbl_inlet */
    double recovery;      /* of the dynamic pressure, or NAN: by inlet */
    int hose;             /* mbl_hose */
    int material;         /* mbl_hose_material */
    double bears;         /* K, or NAN: by material */
    int hoses;            /* to each wheel, each with an inlet of its own unless split */
    int split;            /* hoses that one inlet feeds */
    double taped;         /* share of the inlet that is closed */
    double back_pressure; /* pressure coefficient where the hose ends */
    int aim;              /* mbl_aim */
    double mass;          /* kg, to one wheel */
    double cost;          /* of an axle */
    double labour;        /* s, for an axle */
    bool present;         /* set when a duct was given */
} mbl_duct;

/* A heat capacity of one's own in a corner, and links to it; names as in docs/model.md. */
typedef struct mbl_extra_node {
    char name[MBL_TEXT_FIELD];
    double capacity; /* J/K */
} mbl_extra_node;

typedef struct mbl_extra_link {
    char from[MBL_TEXT_FIELD];
    char to[MBL_TEXT_FIELD]; /* a node, or "ambient" */
    double conductance;      /* W/K */
} mbl_extra_link;

enum { MBL_EXTRA_NODES = 8, MBL_EXTRA_LINKS = 16 };

typedef struct mbl_brake {
    struct {
        size_t n;
        mbl_extra_node v[MBL_EXTRA_NODES];
    } nodes;
    struct {
        size_t n;
        mbl_extra_link v[MBL_EXTRA_LINKS];
    } links;
    struct {
        const mbl_film_samples *faces, *vanes, *caliper; /* NULL: the law of docs/model.md */
    } cooling;
    mbl_duct duct;
    mbl_rotor rotor;
    mbl_pad pad;
    mbl_caliper caliper;
    double still_air;        /* of textbook natural convection that the wheel arch leaves */
    double airflow;          /* air speed at this brake over that behind an ordinary wheel */
    double effective_radius; /* m, or NAN */
} mbl_brake;

typedef enum mbl_distribution_kind {
    MBL_DISTRIBUTION_FIXED,
    MBL_DISTRIBUTION_BAR,
    MBL_DISTRIBUTION_VALVE
} mbl_distribution_kind;

typedef struct mbl_pedal {
    double ratio;
    double effort_limit; /* N */
    double efficiency;
    int distribution; /* mbl_distribution_kind */
    double balance;   /* share of the rod's force on the front master, or NAN: 0.5 */
    double per_turn;  /* of the bar's adjuster, in the same share */
    double knee;      /* Pa, or NAN */
    double slope;
    struct {
        double bore, front, rear; /* m; bore: a tandem master, the others NAN, and vice versa */
        double stroke, free;      /* m */
        double cost, labour;      /* of all; s */
    } master;
    struct {
        double gain, assist; /* 1: no booster; N at sea level */
    } booster;
    double hose_swell;   /* m3 for one wheel under 100 bar */
    double fluid_volume; /* m3 */
    double knock_back;   /* m, each pad */
    double stab;         /* N/s */
    bool present;        /* set when a pedal was given */
} mbl_pedal;

typedef enum mbl_driven { MBL_DRIVEN_FRONT, MBL_DRIVEN_REAR, MBL_DRIVEN_ALL } mbl_driven;

/* From the engine to the driven wheels. Torque, ratios and final are given together or not. */
typedef struct mbl_gearing {
    int driven;         /* mbl_driven */
    mbl_curve torque;   /* N m of the engine over its revs a minute; n = 0: power alone counts */
    mbl_numbers ratios; /* engine over propeller shaft, first gear first, falling */
    double final;       /* propeller shaft over wheel, or NAN */
    double efficiency;  /* of engine torque that reaches the wheels */
} mbl_gearing;

typedef struct mbl_finding {
    double unused; /* items begin with a double */
    int what;      /* see mbl_finding_word */
} mbl_finding;

enum { MBL_FOUND_MOST = 8 };

typedef struct mbl_car {
    double mass; /* kg, driver in, no fuel */
    struct {
        double passenger, luggage, ballast; /* kg */
    } load;
    struct {
        double start, per_lap; /* kg */
    } fuel;
    double rotating;       /* share of the mass */
    double rolling;        /* resistance over weight */
    double engine_braking; /* m/s2 */
    struct {
        double drag_area, downforce_area; /* m2 */
        double front_share;               /* of the downforce */
    } aero;
    struct {
        double radius;           /* m, rolling */
        double grip;             /* at the load at rest, or NAN */
        double load_sensitivity; /* share of it lost when the load doubles */
    } tyre;
    double front_weight; /* share */
    double cg_height;    /* m */
    double wheelbase;    /* m */
    bool abs;
    double power; /* W at the wheels, or NAN */
    mbl_gearing gearing;
    mbl_pedal pedal;
    struct {
        size_t n;
        mbl_finding v[MBL_FOUND_MOST];
    } found;
    mbl_fluid fluid;
    mbl_brake front, rear;
    bool present; /* set when a car was given (a trace may do without) */
} mbl_car;

typedef struct mbl_course {
    char file[MBL_TEXT_FIELD];
    char time[MBL_TEXT_FIELD], speed[MBL_TEXT_FIELD], lap[MBL_TEXT_FIELD];
    char distance[MBL_TEXT_FIELD], altitude[MBL_TEXT_FIELD];
    char pressure_front[MBL_TEXT_FIELD], pressure_rear[MBL_TEXT_FIELD];
    char latitude[MBL_TEXT_FIELD], longitude[MBL_TEXT_FIELD];
    char lateral[MBL_TEXT_FIELD], yaw_rate[MBL_TEXT_FIELD];
    char time_unit[MBL_TEXT_FIELD], speed_unit[MBL_TEXT_FIELD];
    char distance_unit[MBL_TEXT_FIELD], altitude_unit[MBL_TEXT_FIELD];
    char pressure_front_unit[MBL_TEXT_FIELD], pressure_rear_unit[MBL_TEXT_FIELD];
    char latitude_unit[MBL_TEXT_FIELD], longitude_unit[MBL_TEXT_FIELD];
    char lateral_unit[MBL_TEXT_FIELD], yaw_rate_unit[MBL_TEXT_FIELD];
    mbl_numbers start_line; /* latitude and longitude, degrees; n 0: none */
    int hot_lap;            /* number of the lap to repeat; 0 for the median hot lap */
    mbl_car of;             /* the car that made the log; of.present false: the car of the run */
    struct {
        double corner, brake, power; /* shares of what the car can do; NAN: not said */
        double early;                /* m, or NAN */
    } driver;                        /* of a layout */
    void *trace;                     /* mbl_trace *, borrowed; put there by whoever read the file */
    void *layout; /* mbl_layout *, the same; a layout that has been driven has both */
} mbl_course;

typedef struct mbl_phase {
    int kind; /* mbl_phase_kind */
    int laps;
    double time; /* s, park */
    double pace; /* NAN: that of the kind */
} mbl_phase;

typedef struct mbl_phases {
    size_t n;
    mbl_phase v[MBL_ITEMS_MAX];
} mbl_phases;

typedef struct mbl_stint {
    int out, hot, cool; /* laps */
    double park;        /* s */
    bool logged;        /* drive the logged session as it is, in place of out, hot, cool */
    mbl_phases phases;  /* the ordered form; n = 0 for the short form */
    double ambient;     /* K */
    double altitude;    /* m */
    double start;       /* K of every part at the start, or NAN: ambient */
    int judge;          /* mbl_judge */
    double pit_speed;   /* m/s, from which the car stops before it parks */
    struct {
        double out, hot, traffic, cool; /* share of the speed of the lap repeated */
    } pace;
} mbl_stint;

typedef struct mbl_limits {
    double rotor;                   /* K, core */
    double caliper;                 /* K */
    double gradient, gradient_band; /* K, face above core */
    double rotor_band, pad_band, cold_band, caliper_band, fluid_band, hose_band; /* K */
    double panic;                   /* N at the pedal */
    double pressure, pressure_band; /* Pa */
    double effort_band;             /* N */
    double travel_band;             /* share of the stroke */
    double balance_band;            /* share of the braking force */
    double grip_band;               /* m/s2 */
    double bite, bite_band;         /* share of the steady deceleration */
    double pad_left_band;           /* m */
    double rotor_left_band;         /* m */
} mbl_limits;

typedef struct mbl_event {
    int sessions, bleeds;
    double bleed_volume; /* m3 */
    double labour_rate;  /* money per hour */
} mbl_event;

typedef struct mbl_case {
    mbl_car car;
    mbl_course course;
    mbl_stint stint;
    mbl_limits limits;
    mbl_event event;
    int mode;     /* how finely time is cut: see drive/timeline.h */
    mbl_car base; /* before the change; base.present false: nothing to compare with */
} mbl_case;

extern const mbl_schema mbl_rotor_schema;
extern const mbl_schema mbl_pad_schema;
extern const mbl_schema mbl_caliper_schema;
extern const mbl_schema mbl_duct_schema;
extern const mbl_schema mbl_fluid_schema;
extern const mbl_schema mbl_brake_schema;
extern const mbl_schema mbl_pedal_schema;
extern const mbl_schema mbl_car_schema;
extern const mbl_schema mbl_course_schema;
extern const mbl_schema mbl_stint_schema;
extern const mbl_schema mbl_limits_schema;
extern const mbl_schema mbl_event_schema;
extern const mbl_schema mbl_case_schema;

/* Every schema that docs/input.md documents, in its order; NULL-terminated. */
extern const mbl_schema *const mbl_schemas[];

/* Radial depth of the ring, m: as given, or inferred. */
double mbl_rotor_ring_height(const mbl_rotor *rotor);

/* Mass of the ring, kg: as given, mass less hat_mass, or from its size. */
double mbl_rotor_ring_mass(const mbl_rotor *rotor);

/* Mass of a ring of this size, kg: 7150 kg/m3 times its volume, times 0.62 when it is vented
 * (computed from rings in trade catalogues, 0.58 to 0.66). */
double mbl_rotor_geometric_mass(const mbl_rotor *rotor);

/* Number of vanes: as given, or inferred from the thickness. */
int mbl_rotor_vanes(const mbl_rotor *rotor);

/* Share of the ideal air speed that the vanes of a rotor pump. */
double mbl_rotor_pumping(const mbl_rotor *rotor);

/* Factor on a pad's friction by its condition. */
double mbl_pad_condition(const mbl_pad *pad);

/* The brake of an axle: 0 front, 1 rear. */
const mbl_brake *mbl_car_brake(const mbl_car *car, int axle);

/* Mass of a car with driver, what rides along, and `fuel` kg in the tank. */
double mbl_car_mass(const mbl_car *car, double fuel);

/* Friction material on a pad at present, and the thickness at which it is changed, m. */
double mbl_pad_thickness(const mbl_pad *pad);
double mbl_pad_worn_at(const mbl_pad *pad);

/* Face temperature from which wear grows, K. */
double mbl_pad_wear_onset(const mbl_pad *pad);

/* The word for what was found: "crack". */
const char *mbl_finding_word(int finding);

/* Boiling points (K) and water (share by mass) of a fluid: as given, or by grade and age. */
double mbl_fluid_dry(const mbl_fluid *fluid);
double mbl_fluid_wet(const mbl_fluid *fluid);
double mbl_fluid_water(const mbl_fluid *fluid);

/* Does water stay apart in it (silicone base), instead of dissolving? */
bool mbl_fluid_keeps_water_apart(const mbl_fluid *fluid);

/* The word for a phase kind: "hot". */
const char *mbl_phase_word(mbl_phase_kind kind);

#endif
