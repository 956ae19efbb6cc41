/* SPDX-License-Identifier: MIT */
/*
 * What must make no difference: which axle is called front, the order in which nodes and links are
 * put into a network, and heat that nobody put in. MBL_CASES cases (200 when not set; a quarter of
 * them where whole cars are driven), a failing one named by its seed.
 */
#include "support/random_car.h"
#include "support/test.h"

enum { NODES = MBL_AXLES * MBL_CORNER_NODES, STOPS = 2 };

static const double ambient = 293.15;

static void drive(mbl_block *b, const random_stint *s, size_t to)
{
    mbl_block_run(b, &s->in, 0, to, NULL);
}

/* ---- mirror ---- */

/* The same masters the other way round; a valve is in the rear line only, and is left out. */
static void swap_pedal(mbl_pedal *p)
{
    double front = p->master.front;
    p->master.front = p->master.rear;
    p->master.rear = front;
    if (p->distribution == MBL_DISTRIBUTION_BAR)
        p->balance = 1 - p->balance;
}

static void a_car_with_its_axles_swapped_has_swapped_temperatures(void **state)
{
    (void)state;
    int cases = (random_cases(200) + 3) / 4;
    double worst = 0;
    for (int seed = 1; seed <= cases; seed++) {
        static random_stint s;
        mbl_car car = random_car((uint64_t)seed);
        if (car.pedal.distribution == MBL_DISTRIBUTION_VALVE)
            car.pedal.distribution = MBL_DISTRIBUTION_FIXED;
        mbl_car swapped = car;
        swapped.front = car.rear;
        swapped.rear = car.front;
        swap_pedal(&swapped.pedal);
        random_stint_make((uint64_t)seed, &car, STOPS, &s);
        mbl_block *a = random_car_block(&car, ambient);
        mbl_block *b = random_car_block(&swapped, ambient);
        drive(a, &s, s.n);
        drive(b, &s, s.n);
        for (int i = 0; i < NODES; i++) {
            double off = fabs(a->T[i] - b->T[(i + MBL_CORNER_NODES) % NODES]);
            if (!(off <= 1e-9))
                fail_msg("car %d: %s at %.12g K, %.3g K off when it is the other axle", seed,
                         a->model[0]->node[i].name, a->T[i], off);
            worst = fmax(worst, off);
        }
        mbl_block_free(a);
        mbl_block_free(b);
    }
    printf("%d cars: swapped axles differ by at most %.1e K\n", cases, worst);
}

/* ---- relabelling ---- */

static void shuffle(random_source *r, int *order, int n)
{
    for (int i = 0; i < n; i++)
        order[i] = i;
    for (int i = n - 1; i > 0; i--) {
        int j = random_below(r, i + 1);
        int kept = order[i];
        order[i] = order[j];
        order[j] = kept;
    }
}

static int moved(const int *place, int node)
{
    return node == MBL_AMBIENT ? MBL_AMBIENT : place[node];
}

enum { LINKS_MOST = 128 };

/* The same network put together in another order; node i of `from` is node place[i] of `to`. */
static void relabel(const mbl_network *from, random_source *r, mbl_network *to, int place[NODES])
{
    int order[NODES];
    shuffle(r, order, from->nnodes);
    for (int i = 0; i < from->nnodes; i++) {
        const mbl_node_spec *node = &from->node[order[i]];
        place[order[i]] = node->iron ? mbl_network_iron(to, node->name, node->scale)
                                     : mbl_network_node(to, node->name, node->scale);
    }
    for (int i = 0; i < from->nlaws; i++)
        mbl_network_sampled(to, from->law[i]);
    to->knee = from->knee;
    int links[LINKS_MOST];
    assert_true(from->nlinks <= LINKS_MOST);
    shuffle(r, links, from->nlinks);
    for (int i = 0; i < from->nlinks; i++) {
        const mbl_link_spec *l = &from->link[links[i]];
        int a = moved(place, l->from);
        int b = moved(place, l->to);
        int path = l->path >= 0 ? mbl_network_path(to, from->path[l->path]) : -1;
        /* a link has no direction: turn some round */
        bool turn = b != MBL_AMBIENT && random_below(r, 2);
        switch (l->kind) {
        case MBL_LINK_FIXED:
            if (b == MBL_AMBIENT)
                mbl_network_lose(to, a, l->value, path);
            else
                mbl_network_link(to, turn ? b : a, turn ? a : b, l->value);
            break;
        case MBL_LINK_FILM:
            mbl_network_film(to, a, l->value, l->law, path);
            break;
        case MBL_LINK_RADIATION:
            mbl_network_radiate(to, turn ? b : a, turn ? a : b, l->value / MBL_STEFAN_BOLTZMANN,
                                path);
            break;
        case MBL_LINK_CONTACT:
            break;
        }
    }
    for (int i = from->ncontacts - 1; i >= 0; i--) {
        mbl_contact_spec contact = from->contact[i];
        contact.rotor = place[contact.rotor];
        contact.pad = place[contact.pad];
        contact.core = place[contact.core];
        mbl_network_contact(to, &contact);
    }
}

static mbl_block *block_of(mbl_network *net)
{
    mbl_error err = {0};
    mbl_model *model = NULL;
    mbl_block *block = NULL;
    assert_ok(mbl_model_make(net, ambient, &model, &err), err);
    mbl_model *const lanes[] = {model};
    assert_ok(mbl_block_make(&mbl_alloc_libc, lanes, 1, &block, &err), err);
    mbl_model_drop(model);
    mbl_network_free(net);
    return block;
}

static void the_order_a_network_is_put_together_in_does_not_matter(void **state)
{
    (void)state;
    int cases = (random_cases(200) + 3) / 4;
    double worst = 0;
    for (int seed = 1; seed <= cases; seed++) {
        static random_stint s;
        random_source r = {(uint64_t)seed + 11000};
        mbl_car car = random_car((uint64_t)seed);
        random_stint_make((uint64_t)seed, &car, STOPS, &s);
        mbl_network net;
        mbl_network other;
        mbl_network_init(&net, &mbl_alloc_libc);
        mbl_network_init(&other, &mbl_alloc_libc);
        mbl_error err = {0};
        assert_ok(mbl_corner_build(&net, &car, ambient, 101325, NULL, &err), err);
        int place[NODES];
        relabel(&net, &r, &other, place);
        mbl_block *a = block_of(&net);
        mbl_block *b = block_of(&other);
        drive(a, &s, s.n);
        drive(b, &s, s.n);
        for (int i = 0; i < NODES; i++) {
            double off = fabs(a->T[i] - b->T[place[i]]);
            if (!(off <= 1e-9))
                fail_msg("car %d: %s at %.12g K, %.3g K off in another order", seed,
                         a->model[0]->node[i].name, a->T[i], off);
            worst = fmax(worst, off);
        }
        mbl_block_free(a);
        mbl_block_free(b);
    }
    printf("%d cars: another order differs by at most %.1e K\n", cases, worst);
}

/* ---- sources ---- */

static double some_film(const void *ctx, double speed, double T)
{
    (void)T;
    return *(const double *)ctx * (5 + speed);
}

/* A connected network of 2 to 20 nodes with links of every kind that needs no brake. */
static int random_network(random_source *r, mbl_network *net)
{
    int n = 2 + random_below(r, 19);
    for (int i = 0; i < n; i++) {
        if (random_below(r, 2))
            mbl_network_iron(net, "iron", exp(random_between(r, log(0.05), log(10))));
        else
            mbl_network_node(net, "lump", exp(random_between(r, log(20), log(5000))));
    }
    for (int i = 1; i < n; i++)
        mbl_network_link(net, i, random_below(r, i), exp(random_between(r, log(0.1), log(300))));
    int path = mbl_network_path(net, "air");
    double scale = random_between(r, 0.5, 4);
    int law = mbl_network_law(net, some_film, &scale);
    for (int i = 0; i < n; i++) {
        int other = random_below(r, n);
        if (other != i && random_below(r, 2))
            mbl_network_radiate(net, i, other, random_between(r, 0.001, 0.1), -1);
        if (random_below(r, 2))
            mbl_network_film(net, i, random_between(r, 0.001, 0.2), law, path);
        if (random_below(r, 3) == 0)
            mbl_network_radiate(net, i, MBL_AMBIENT, random_between(r, 0.001, 0.1), path);
    }
    return n;
}

/* Without sources nothing leaves the span of what was hot and cold to begin with, and the air. */
static void without_a_source_nothing_is_hotter_or_colder_than_all_was(void **state)
{
    (void)state;
    int cases = random_cases(200);
    for (int seed = 1; seed <= cases; seed++) {
        random_source r = {(uint64_t)seed + 12000};
        mbl_network net;
        mbl_network_init(&net, &mbl_alloc_libc);
        int n = random_network(&r, &net);
        mbl_block *b = block_of(&net);
        double low = ambient;
        double high = ambient;
        for (int i = 0; i < n; i++) {
            double T = random_between(&r, 260, 900);
            mbl_block_set(b, 0, i, T);
            low = fmin(low, T);
            high = fmax(high, T);
        }
        double dt = 1e-3;
        for (int k = 0; k < 400; k++) {
            double time[] = {0, dt};
            double speed[] = {30, 30};
            mbl_inputs in = {.time = time, .speed = speed};
            mbl_block_run(b, &in, 0, 1, NULL);
            for (int i = 0; i < n; i++) {
                if (!(b->T[i] >= low - 1e-6 && b->T[i] <= high + 1e-6))
                    fail_msg("case %d: %.9g K, all began between %.9g and %.9g", seed, b->T[i], low,
                             high);
            }
            dt = fmin(1.03 * dt, 1);
        }
        assert_near(b->heat[0], 0, 0);
        mbl_block_free(b);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_car_with_its_axles_swapped_has_swapped_temperatures),
        cmocka_unit_test(the_order_a_network_is_put_together_in_does_not_matter),
        cmocka_unit_test(without_a_source_nothing_is_hotter_or_colder_than_all_was),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
