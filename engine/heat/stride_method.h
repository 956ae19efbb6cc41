/* SPDX-License-Identifier: MIT */
/*
 * ROS34PW2 (Rang and Angermann 2005) as the strides use it: in the stages u = Gamma k, which spare
 * a product with the matrix. a = alpha Gamma^-1, c = 1/gamma - Gamma^-1, m = b Gamma^-1; stage i
 * lies at alpha_i of the step and takes gamma_i of the rate at which the load changes. The b are
 * kept for what is added up by stages. Private to `heat`.
 */
#ifndef MBL_HEAT_STRIDE_METHOD_H
#define MBL_HEAT_STRIDE_METHOD_H

#define MBL_ROS_GAMMA 4.3586652150845900e-01

enum { MBL_ROS_STAGES = 4 };

static const double mbl_ros_a[MBL_ROS_STAGES][3] = {
    {0},
    {2.0},
    {1.4192173174557647e+00, -2.5923221167296973e-01},
    {4.1847604823191604e+00, -2.8519201735549599e-01, 2.2942803602790418e+00},
};
static const double mbl_ros_c[MBL_ROS_STAGES][3] = {
    {0},
    {-4.5885607205580836e+00},
    {-4.1847604823191604e+00, 2.8519201735549599e-01},
    {-6.3681792001283597e+00, -6.7956209444668367e+00, 2.8700986043310555e+00},
};
static const double mbl_ros_m[MBL_ROS_STAGES] = {4.1847604823191600e+00, -2.8519201735549590e-01,
                                                 2.2942803602790415e+00, 1.0};
static const double mbl_ros_b[MBL_ROS_STAGES] = {2.4212380706095346e-01, -1.2232505839045147e+00,
                                                 1.5452602553351020e+00, 4.3586652150845900e-01};
static const double mbl_ros_alpha[MBL_ROS_STAGES] = {0, 8.7173304301691801e-01,
                                                     7.3157995778885237e-01, 1};
static const double mbl_ros_gamma[MBL_ROS_STAGES] = {MBL_ROS_GAMMA, -MBL_ROS_GAMMA,
                                                     -4.1333337623388652e-01, 0};

#endif
