using TurfWatch.Core.Physics;

namespace TurfWatch.Benchmarks;

/// <summary>
/// The site model's hour written a second time, for clarity alone: textbook formulas, arrays made when wanted,
/// nothing remembered. The benchmark measures the kernel beside it, and a test holds the two equal, so that neither a trick
/// for speed nor a slip can change the physics unseen. Whoever changes the physics changes both.
/// </summary>
internal sealed class PlainSite(SurfaceParameters surface, double elevationM, double windHeightM)
{
    private const double Hour = 3600;
    private const double Fusion = 3.337e5;

    private readonly SoilHydraulics _soil = surface.Soil;

    public SiteKernelState State { get; } = new();
    public double LeafC { get; private set; }
    public double WetShare { get; private set; }

    private PlainBalance.Unknowns? _unknowns;

    public void Step(in SiteHour hour)
    {
        // Snow lies, and settles by a hundredth of what is left to settle.
        var snow = hour.RainMm * Math.Clamp(1 - (hour.AirC / 2), 0, 1);
        if (State.SnowMm + snow > 0)
        {
            State.SnowMm += snow;
            State.SnowDepthM += snow / (67.92 + (51.25 * Math.Exp(Math.Min(hour.AirC, 0) / 2.59)));
            var density = State.SnowMm / State.SnowDepthM;
            State.SnowDepthM = State.SnowMm / (density + (0.01 * Math.Max(0, 300 - density)));
        }

        var water = State.SoilWaterMm;
        var pressure = 1013.25 * Math.Pow(1 - (2.25577e-5 * elevationM), 5.2559);
        var leafArea = LeafArea();
        var available = Available();
        var open = Math.Exp(-leafArea);

        // Water from above.
        var falling = hour.RainMm - snow + Sprinkler(hour, available);
        var room = Math.Max(0, surface.LeafStoreMm - State.LeafWaterMm - State.FrostMm);
        var caught = Math.Min(falling * (1 - open), room);
        var film = State.LeafWaterMm + State.FrostMm;
        State.LeafWaterMm += caught;

        // Heat: two stages of a Runge-Kutta method.
        var (conductivity, capacity, content) = SoilProperties();
        var balance = Balance(hour, pressure, leafArea, open, available);
        _unknowns ??= new(hour.AirC, hour.AirC, hour.AirC, hour.VapourHPa);
        var gamma = 1 - (1 / Math.Sqrt(2));
        var start = (double[])State.SoilC.Clone();
        var soil = new PlainSoil(
            conductivity,
            capacity,
            surface.CoverResistance + SnowResistance(),
            gamma * Hour
        );
        var (first, one) = Stage(balance, soil, start);
        var middle = new double[start.Length];
        for (var i = 0; i < start.Length; i++)
        {
            middle[i] = start[i] + ((1 - gamma) / gamma * (first[i] - start[i]));
        }

        var (second, two) = Stage(balance, soil, middle);
        second.CopyTo(State.SoilC, 0);
        var mean = PlainBalance.Mean(one, two, gamma);
        LeafC = mean.LeafC;
        Freeze(content, capacity);

        // Water books.
        var leafLoss = mean.LeafEvaporation * Hour;
        var groundLoss = mean.GroundEvaporation * Hour;
        var thawed = Thaw(mean.Thaw * Hour / Fusion, ref groundLoss);
        var drip = Leaves(mean.Melt * Hour / Fusion, leafLoss, out var shortBy);
        WetShare = Wetness(falling, film, caught, mean.LeafPotential * Hour);
        water[0] -= groundLoss + shortBy;
        Roots(mean.Transpiration * Hour);
        Sink(falling - caught + drip + thawed);
        State.SeasonC += (SoilGrid.TenCm.Of(State.SoilC) - State.SeasonC) / (20 * 24);
    }

    private (double[] After, PlainBalance.Fluxes Fluxes) Stage(
        PlainBalance balance,
        PlainSoil soil,
        double[] before
    )
    {
        var (conductance, reference) = soil.Surface(before);
        var (unknowns, fluxes) = balance.Solve(_unknowns!, conductance, reference);
        _unknowns = unknowns;
        return (soil.After(before, fluxes.Soil), fluxes);
    }

    private double Green()
    {
        if (!surface.Seasonal)
        {
            return surface.GreenShare;
        }

        var x = Math.Clamp((State.SeasonC - 8) / 10, 0, 1);
        return surface.GreenShare * ((3 * Math.Pow(x, 2)) - (2 * Math.Pow(x, 3)));
    }

    private double LeafArea()
    {
        var area = surface.LeafArea;
        if (surface.Seasonal)
        {
            area += surface.SummerLeafArea * Green() / surface.GreenShare;
        }

        area *= 1 - Math.Min(1, State.SnowDepthM / surface.HeightM);
        return Math.Max(0.05, Math.Round(area / 0.05) * 0.05);
    }

    private double Available() =>
        SoilWater.AvailableShare(State.SoilWaterMm, _soil, surface.RootDepthM);

    private double Sprinkler(in SiteHour hour, double available)
    {
        var time = hour.SolarHour >= 4 && hour.SolarHour < 5;
        var dry = 1 - available >= surface.EasyWater;
        return surface.Irrigated && time && dry && hour.AirC >= 2
            ? (1 - available)
                * (_soil.FieldCapacity - _soil.WiltingPoint)
                * surface.RootDepthM
                * 1000
            : 0;
    }

    private (double[] Conductivity, double[] Capacity, double[] Content) SoilProperties()
    {
        var content = SoilGrid
            .DepthM.Select(depth => SoilWater.ZoneAt(depth))
            .Select(zone =>
                zone == SoilWater.Zones
                    ? _soil.FieldCapacity
                    : Math.Round(State.SoilWaterMm[zone] / SoilWater.DepthMm[zone] / 0.004) * 0.004
            )
            .ToArray();
        var conductivity = content.Select(x =>
            SoilThermalProperties.ConductivityJohansenWMK(
                _soil.Porosity,
                _soil.SandFraction,
                x / _soil.Porosity,
                _soil.Coarse
            )
        );
        var capacity = content.Select(x =>
            SoilThermalProperties.HeatCapacityJM3K(
                1 - _soil.Porosity,
                0,
                Math.Min(x, _soil.Porosity)
            )
        );
        return ([.. conductivity], [.. capacity], content);
    }

    private PlainBalance Balance(
        in SiteHour hour,
        double pressure,
        double leafArea,
        double open,
        double available
    )
    {
        var sun = hour.ShortwaveWM2 * surface.SunShare;
        var through = Math.Exp(-0.6 * leafArea);
        var top = State.SoilWaterMm[0] / SoilWater.DepthMm[0];
        var loose = Math.Clamp((top - (0.4 * _soil.WiltingPoint)) / 0.02, 1e-6, 1);
        return new()
        {
            Air = new(surface with { LeafArea = leafArea }, windHeightM),
            AirC = hour.AirC,
            VapourHPa = hour.VapourHPa,
            Wind = hour.WindMS,
            PressureHPa = pressure,
            SunLeaf = sun * (1 - surface.LeafAlbedo) * (1 - through),
            SunGround = sun * (1 - GroundAlbedo()) * through,
            Sky =
                (surface.SkyView * hour.LongwaveWM2)
                + ((1 - surface.SkyView) * 5.670374e-8 * Math.Pow(hour.AirC + 273.15, 4)),
            Open = open,
            Water = State.LeafWaterMm,
            Ice = State.FrostMm,
            Store = surface.LeafStoreMm,
            Snow = State.SnowMm,
            Stomata = Stomata(hour, sun, leafArea, available),
            GroundResistance =
                State.SnowMm > 0
                    ? 0
                    : (
                        Math.Exp(8.206 - (4.255 * top / _soil.Porosity))
                        + surface.CoverVapourResistance
                    ) / loose,
        };
    }

    private double Stomata(in SiteHour hour, double sun, double leafArea, double available)
    {
        if (Green() <= 0 || sun <= 0)
        {
            return 0;
        }

        var deficit = Math.Max(0, PlainBalance.Saturation(hour.AirC) - hour.VapourHPa);
        var light = Math.Min(1, 1.1 * sun / (sun + 100));
        var dryness = 1 / (1 + (deficit / 100));
        var warmth = Math.Max(0, 1 - (0.002 * Math.Pow(surface.BestAirC - hour.AirC, 2)));
        var thirst = Math.Clamp(available / (1 - surface.EasyWater), 0, 1);
        return Green() * leafArea / 2 / surface.LeafResistance * light * dryness * warmth * thirst;
    }

    /// <summary>Layers under 0 °C freeze 70 % of their water at most, ice above 0 °C melts, heat is kept.</summary>
    private void Freeze(double[] content, double[] capacity)
    {
        for (var i = 0; i < SoilGrid.Layers; i++)
        {
            var thickness = SoilGrid.ThicknessM[i];
            var perKelvin = capacity[i] * thickness / Fusion;
            var most = Math.Max(State.SoilIceMm[i], 0.7 * content[i] * thickness * 1000);
            if (State.SoilC[i] >= 0 && State.SoilIceMm[i] <= 0)
            {
                continue;
            }

            var ice = Math.Clamp(State.SoilIceMm[i] - (State.SoilC[i] * perKelvin), 0, most);
            State.SoilC[i] += (ice - State.SoilIceMm[i]) / perKelvin;
            State.SoilIceMm[i] = ice;
        }
    }

    private double SnowResistance()
    {
        if (State.SnowMm <= 0)
        {
            return 0;
        }

        var density = State.SnowMm / State.SnowDepthM / 1000;
        var conductivity =
            density >= 0.156
                ? 0.138 - (1.01 * density) + (3.233 * Math.Pow(density, 2))
                : 0.023 + (0.234 * density);
        return Math.Round(State.SnowDepthM / conductivity / 0.02) * 0.02;
    }

    private double GroundAlbedo()
    {
        if (State.SnowMm <= 0)
        {
            return surface.GroundAlbedo;
        }

        var settled = Math.Clamp(((State.SnowMm / State.SnowDepthM) - 100) / 200, 0, 1);
        var white = 0.85 + (settled * (0.55 - 0.85));
        var seen = Math.Min(1, State.SnowDepthM / 0.02);
        return ((1 - seen) * surface.GroundAlbedo) + (seen * white);
    }

    /// <summary>Snow melts and goes into the air; a trace of it melts with the rest.</summary>
    private double Thaw(double melted, ref double groundLoss)
    {
        if (State.SnowMm <= 0)
        {
            return 0;
        }

        melted = Math.Min(State.SnowMm, melted);
        var gone = Math.Min(State.SnowMm - melted, groundLoss);
        groundLoss -= gone;
        var left = State.SnowMm - melted - gone;
        if (left < 0.05)
        {
            melted += left;
            left = 0;
        }

        State.SnowDepthM *= left / State.SnowMm;
        State.SnowMm = left;
        return melted;
    }

    private double Wetness(double falling, double before, double caught, double potential)
    {
        if (State.SnowMm > 0)
        {
            return 1;
        }

        if (falling <= 0)
        {
            return LeafWater.WetShare(
                before,
                State.LeafWaterMm + State.FrostMm,
                surface.LeafStoreMm
            );
        }

        // The shower in the middle of the hour, drying on either side of it.
        const double dry = 0.025;
        var shower = Math.Min(1, falling / 2.5);
        double Hours(double film)
        {
            var root = Math.Cbrt(film / surface.LeafStoreMm);
            var dryRoot = Math.Cbrt(dry / surface.LeafStoreMm);
            return film <= dry ? 0
                : potential <= 0 ? 1
                : (root - dryRoot) * 3 * surface.LeafStoreMm / potential;
        }

        return shower
            + Math.Min((1 - shower) / 2, Hours(before))
            + Math.Min((1 - shower) / 2, Hours(before + caught));
    }

    private double Leaves(double melted, double loss, out double shortBy)
    {
        shortBy = 0;
        melted = Math.Clamp(melted, -State.LeafWaterMm, State.FrostMm);
        State.FrostMm -= melted;
        State.LeafWaterMm += melted;
        var dewShare = State.LeafWaterMm > 0 ? Math.Min(1, State.DewMm / State.LeafWaterMm) : 0;
        if (loss > 0)
        {
            var total = State.LeafWaterMm + State.FrostMm;
            shortBy = Math.Max(0, loss - total);
            var left = total > 0 ? Math.Max(0, 1 - (loss / total)) : 0;
            State.LeafWaterMm *= left;
            State.FrostMm *= left;
            State.DewMm = dewShare * State.LeafWaterMm;
        }
        else if (LeafC < 0)
        {
            State.FrostMm -= loss;
        }
        else
        {
            State.LeafWaterMm -= loss;
            State.DewMm -= loss;
        }

        var drip = Math.Max(0, State.LeafWaterMm - surface.LeafStoreMm);
        if (drip > 0)
        {
            State.DewMm *= surface.LeafStoreMm / State.LeafWaterMm;
            State.LeafWaterMm = surface.LeafStoreMm;
        }

        State.DewMm = Math.Clamp(State.DewMm, 0, State.LeafWaterMm);
        return drip;
    }

    private void Roots(double mm)
    {
        var weight = new double[SoilWater.Zones];
        var top = 0.0;
        for (var z = 0; z < weight.Length; z++)
        {
            var depth = SoilWater.DepthMm[z];
            var rooted = Math.Clamp(((surface.RootDepthM * 1000) - top) / depth, 0, 1);
            var middle = (top + (depth / 2)) / (surface.RootDepthM * 1000);
            var free = Math.Max(1e-9, State.SoilWaterMm[z] - (_soil.WiltingPoint * depth));
            weight[z] = rooted * Math.Exp(-2 * middle) * free;
            top += depth;
        }

        var sum = weight.Sum();
        for (var z = 0; z < weight.Length; z++)
        {
            State.SoilWaterMm[z] -= mm * weight[z] / sum;
        }
    }

    private void Sink(double inflow) =>
        SoilWater.Move(
            State.SoilWaterMm,
            _soil,
            inflow,
            Math.Pow(15.5 / _soil.SaturatedConductivityMmH, 0.35),
            1.0 / 24
        );
}
