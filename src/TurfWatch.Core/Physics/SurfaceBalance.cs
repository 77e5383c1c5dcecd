namespace TurfWatch.Core.Physics;

/// <summary>
/// The energy balance of a grass canopy over soil: leaves and ground each with a temperature of its own,
/// joined by the air inside the canopy (temperature and vapour), which exchanges with the air above.
/// </summary>
/// <remarks>
/// Network of Shuttleworth and Wallace (1985, Q. J. R. Meteorol. Soc. 111:839). For leaves (l) and ground (g)
/// <c>Rn_l = ρc_p g_l (T_l - T_c) + (ρc_p/γ) v_l (e*(T_l) - e_c) + M</c> and
/// <c>Rn_g = ρc_p g_g (T_g - T_c) + (ρc_p/γ) v_g (e*(T_g) - e_c) + G</c>, with the canopy air in balance. Short-wave
/// passes the leaves as exp(-k·LAI), long-wave as exp(-LAI) (Oleson et al. 2013, CLM 4.5 technical note, eq. 4.1
/// ff., from memory, unverified). Newton's method on T_l and T_g; the conductances follow each iteration.
/// <see cref="SideBySide"/> solves four of them at once: change both.
/// </remarks>
internal struct SurfaceBalance
{
    public const double Sigma = Radiation.StefanBoltzmann;
    public const double GroundEmissivity = 0.97;

    // Heat taken up by melting per kelvin above zero [W/m²K]: the leaves' film of ice is thin.
    public const double MeltConductance = 30;

    // The same for snow, which is its own surface.
    public const double SnowMeltConductance = 300;

    // Inputs of the hour.
    public Aerodynamics Air;
    public double AirC;
    public double VapourHPa;
    public double HeatCapacity; // ρ c_p [J/m³K]
    public double Gamma; // psychrometric constant [hPa/K]
    public double Latent; // [J/kg]
    public double SunLeaf; // absorbed short-wave [W/m²]
    public double SunGround;
    public double Sky; // long-wave from above [W/m²]
    public double LeafOpen; // share of long-wave that passes the leaves
    public double Wind;
    public double Stomata; // conductance of all dry leaves to vapour [m/s]
    public double GroundVapourResistance; // thatch and soil [s/m]
    public double LeafWater; // [mm] liquid
    public double LeafIce; // [mm]
    public double LeafStore;
    public double Snow; // on the ground [mm water]
    public double StepS;
    public double SoilConductance; // [W/m²K]
    public double SoilReference; // [°C]

    // Unknowns, start value in, result out.
    public double LeafC;
    public double GroundC;
    public double CanopyAirC;
    public double CanopyVapour;

    // Fluxes out [W/m²], and water [mm/s].
    public double NetRadiation;
    public double Sensible;
    public double LatentFlux;
    public double SoilFlux;
    public double MeltFlux;
    public double SnowMeltFlux;
    public double LeafPotential; // evaporation of wholly wet leaves, below 0 condensation
    public double LeafEvaporation;
    public double Transpiration;
    public double GroundEvaporation;

    public void Solve()
    {
        var storeTotal = LeafWater + LeafIce;
        var vapourScale = HeatCapacity / Gamma;
        var perLatent = 1 / Latent;
        var above = Air.Above(AirC, Wind);
        var damp = 1.0;
        double stability = 1;
        var wetRoot = storeTotal > 0 ? Math.Cbrt(storeTotal / LeafStore) : 0;
        for (var iteration = 0; ; iteration++)
        {
            var target = above.Stability(CanopyAirC);
            // Stability and temperature can chase each other on calm nights: halve late steps.
            stability = iteration < 6 ? target : (stability + target) / 2;
            var friction = above.Friction(stability);
            var toAir = above.ToAir(stability);
            var leaf = Air.Leaf(Math.Sqrt(friction));
            var ground = Air.Ground(friction, GroundC - CanopyAirC);

            var eLeaf = VapourCurve.Of(LeafC, out var slopeLeaf);
            var eGround = VapourCurve.Of(GroundC, out var slopeGround);

            var groundVapour =
                eGround < CanopyVapour ? ground : ground / (1 + (ground * GroundVapourResistance));

            // How wet the leaves are over the step, given what would evaporate from wet ones. Whether vapour comes or
            // goes is told by the air as it would be without the leaves: the canopy's own follows them so closely
            // that at the onset of dew it would switch the sign to and fro.
            var without = ((toAir * VapourHPa) + (groundVapour * eGround)) / (toAir + groundVapour);
            double wet;
            if (eLeaf <= without)
            {
                wet = 1;
            }
            else if (storeTotal <= 0)
            {
                wet = 0;
            }
            else
            {
                var loss = vapourScale * leaf * (eLeaf - CanopyVapour) * perLatent * StepS;
                var left = Physics.LeafWater.Left(wetRoot, LeafStore, loss);

                // Hardly any loss would be a difference of equals.
                wet = Math.Min(
                    1,
                    loss < 1e-9 ? wetRoot * wetRoot : Math.Max(0, storeTotal - left) / loss
                );
            }

            var leafVapour = (wet * leaf) + ((1 - wet) * leaf * Stomata / (leaf + Stomata));
            var perHeat = 1 / (toAir + leaf + ground);
            var perVapour = 1 / (toAir + leafVapour + groundVapour);
            var airHeat = toAir * AirC;
            var airVapour = toAir * VapourHPa;
            CanopyAirC = (airHeat + (leaf * LeafC) + (ground * GroundC)) * perHeat;
            CanopyVapour =
                (airVapour + (leafVapour * eLeaf) + (groundVapour * eGround)) * perVapour;

            // Long-wave.
            var kl = LeafC + 273.15;
            var kg = GroundC + 273.15;
            var kl3 = Sigma * kl * kl * kl;
            var kg3 = Sigma * kg * kg * kg;
            var cover = 1 - LeafOpen;
            var downGround = (LeafOpen * Sky) + (cover * kl3 * kl);
            var upGround = (GroundEmissivity * kg3 * kg) + ((1 - GroundEmissivity) * downGround);
            var netLeaf = SunLeaf + (cover * (Sky + upGround - (2 * kl3 * kl)));
            var netGround = SunGround + downGround - upGround;

            // Melting and freezing on the leaves.
            double melt = 0,
                meltSlope = 0;
            if (LeafC > 0 ? LeafIce > 0 : LeafWater > 0)
            {
                melt = MeltConductance * LeafC;
                meltSlope = MeltConductance;
                var most = SoilFreezing.LatentJPerKg / StepS;
                if (melt > LeafIce * most)
                {
                    melt = LeafIce * most;
                    meltSlope = 0;
                }
                else if (melt < -LeafWater * most)
                {
                    melt = -LeafWater * most;
                    meltSlope = 0;
                }
            }

            // Snow on the ground melts above 0 °C.
            double thaw = 0,
                thawSlope = 0;
            if (Snow > 0 && GroundC >= 0)
            {
                var most = Snow * (SoilFreezing.LatentJPerKg / StepS);
                (thaw, thawSlope) =
                    SnowMeltConductance * GroundC < most
                        ? (SnowMeltConductance * GroundC, SnowMeltConductance)
                        : (most, 0);
            }

            var hLeaf = HeatCapacity * leaf * (LeafC - CanopyAirC);
            var hGround = HeatCapacity * ground * (GroundC - CanopyAirC);
            var leLeaf = vapourScale * leafVapour * (eLeaf - CanopyVapour);
            var leGround = vapourScale * groundVapour * (eGround - CanopyVapour);
            var soil = SoilConductance * (GroundC - SoilReference);
            var fLeaf = netLeaf - hLeaf - leLeaf - melt;
            var fGround = netGround - hGround - leGround - soil - thaw;

            // Jacobian.
            var llLeaf =
                (cover * ((1 - GroundEmissivity) * cover * 4 * kl3))
                - (cover * 8 * kl3)
                - (HeatCapacity * leaf * (1 - (leaf * perHeat)))
                - (vapourScale * leafVapour * slopeLeaf * (1 - (leafVapour * perVapour)))
                - meltSlope;
            var lgLeaf =
                (cover * GroundEmissivity * 4 * kg3)
                + (HeatCapacity * leaf * ground * perHeat)
                + (vapourScale * leafVapour * slopeGround * groundVapour * perVapour);
            var glGround =
                (GroundEmissivity * cover * 4 * kl3)
                + (HeatCapacity * ground * leaf * perHeat)
                + (vapourScale * groundVapour * slopeLeaf * leafVapour * perVapour);
            var ggGround =
                -(GroundEmissivity * 4 * kg3)
                - (HeatCapacity * ground * (1 - (ground * perHeat)))
                - (vapourScale * groundVapour * slopeGround * (1 - (groundVapour * perVapour)))
                - SoilConductance
                - thawSlope;
            var det = (llLeaf * ggGround) - (lgLeaf * glGround);
            var perDet = 1 / det;
            var dLeaf = ((-fLeaf * ggGround) + (fGround * lgLeaf)) * perDet;
            var dGround = ((-fGround * llLeaf) + (fLeaf * glGround)) * perDet;
            if (iteration >= 8)
            {
                // A flux that switches can make Newton's method jump to and fro; small steps end that.
                damp = 0.5;
            }

            if (Math.Abs(dLeaf) + Math.Abs(dGround) < 1e-3 || iteration == 24)
            {
                // The last small step, taken along the tangents, so that the balance closes to rounding.
                LeafC += dLeaf;
                GroundC += dGround;
                var dAir = ((leaf * dLeaf) + (ground * dGround)) * perHeat;
                var dELeaf = slopeLeaf * dLeaf;
                var dEGround = slopeGround * dGround;
                var dVapour = ((leafVapour * dELeaf) + (groundVapour * dEGround)) * perVapour;
                CanopyAirC += dAir;
                CanopyVapour += dVapour;
                var dDown = cover * 4 * kl3 * dLeaf;
                var dUp = (GroundEmissivity * 4 * kg3 * dGround) + ((1 - GroundEmissivity) * dDown);
                leLeaf += vapourScale * leafVapour * (dELeaf - dVapour);
                leGround += vapourScale * groundVapour * (dEGround - dVapour);
                NetRadiation =
                    netLeaf + netGround + (cover * (dUp - (8 * kl3 * dLeaf))) + dDown - dUp;
                Sensible =
                    hLeaf
                    + hGround
                    + (HeatCapacity * ((leaf * (dLeaf - dAir)) + (ground * (dGround - dAir))));
                LatentFlux = leLeaf + leGround;
                SoilFlux = soil + (SoilConductance * dGround);
                MeltFlux = melt + (meltSlope * dLeaf);
                SnowMeltFlux = thaw + (thawSlope * dGround);
                LeafPotential = vapourScale * leaf * (eLeaf + dELeaf - CanopyVapour) / Latent;
                LeafEvaporation = wet * LeafPotential;
                Transpiration = (leLeaf / Latent) - LeafEvaporation;
                GroundEvaporation = leGround / Latent;
                return;
            }

            LeafC += damp * Math.Clamp(dLeaf, -6, 6);
            var next = GroundC + (damp * Math.Clamp(dGround, -6, 6));

            // Melting has a kink at 0 °C, over which Newton's method would jump to and fro: it lands there first.
            GroundC = Snow > 0 && GroundC * next < 0 ? 0 : next;
        }
    }
}
